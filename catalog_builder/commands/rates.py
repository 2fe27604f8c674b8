"""The command ``rates``: what the log teaches, and the maker's word that makes it the studio's own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from catalog_builder.build import Progress, StudioCalculation, calculate, quiet
from catalog_builder.mistake import Mistake, MistakeError, Place, listed
from catalog_builder.planning.estimated_rates import EstimatedRates, estimate_rates
from catalog_builder.publish.bench.rates_page import rates_text
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.rate_keeping import write_rates

_NOTHING = (
    "Nothing is timed or weighed yet.",
    "  content/bench_made.csv    what was made: batch,product,size,finish,glass,count",
    "  content/bench_log.csv     minutes of a step: date,batch,step,minutes",
    "  content/spools.csv        solder: batch,before_g,after_g",
)


class UnknownStepError(Exception):
    """A step was asked for that the log does not hold."""


@dataclass(frozen=True, slots=True)
class RatesReport:
    """What the log teaches, of all steps or of those in ``steps``."""

    calculated: StudioCalculation
    learned: EstimatedRates
    steps: tuple[str, ...]

    def lines(self) -> Iterator[str]:
        """Give the report for the terminal."""
        if not self.learned.studies:
            yield from _NOTHING
        wording = Wording.of(self.calculated.content.studio.studio)
        yield from rates_text(self.learned, self.steps, Phrasing(self.calculated.theme.labels, wording))


def report(project: Path, day: date, steps: Sequence[str], progress: Progress) -> RatesReport:
    """Hold the log against the rates that stand.

    Raises:
        MistakeError: the records have mistakes.
        UnknownStepError: a step that was asked for is not in the log.
    """
    calculated = calculate(project, day, progress)
    learned = estimate_rates(calculated.content, calculated.calculations)
    known = [study.name for study in learned.studies]
    for step in steps:
        if step not in known:
            raise UnknownStepError(f"The log holds nothing of {step!r}. It holds: {listed(known, 40) or 'nothing'}.")
    return RatesReport(calculated, learned, tuple(steps))


def use_rates(project: Path, told: RatesReport) -> tuple[str, ...]:
    """Write the rates that were told into ``studio.toml``, and give what that does to an average piece.

    Raises:
        MistakeError: there is nothing to write, or it cannot be written; the file stands as it was.
    """
    content = told.calculated.content
    changes = {
        study.path: study.changes
        for study in told.learned.studies
        if study.changes and (not told.steps or study.name in told.steps)
    }
    if not changes:
        mistake = Mistake(
            place=Place(path="content/bench_log.csv"),
            wrong="the log says nothing that studio.toml does not say already",
            expected="timed batches or weighed spools that move a rate",
            mend="time or weigh more batches; `catalog-builder rates` shows what there is",
        )
        raise MistakeError([mistake])
    write_rates(project, content.studio_source, changes)
    after = calculate(project, content.day, quiet)
    wording = Wording.of(content.studio.studio)
    (old_minutes, old_cost), (minutes, cost) = _average(told.calculated), _average(after)
    count = sum(len(values) for values in changes.values())
    return (
        f"Rates written into content/studio.toml: {count}.",
        f"An average variant took {wording.number(old_minutes, 1)} minutes and cost {wording.money(old_cost)}; "
        f"now it takes {wording.number(minutes, 1)} and costs {wording.money(cost)}.",
        "Prices follow at the next publishing; `catalog-builder reprice` shows those of the price book that move.",
    )


def _average(calculated: StudioCalculation) -> tuple[Decimal, Decimal]:
    """Give the mean minutes and the mean cost of all variants."""
    costs = [one.cost for one in calculated.calculations]
    return sum((one.minutes for one in costs), Decimal(0)) / len(costs), sum(
        (one.total for one in costs), Decimal(0)
    ) / len(costs)
