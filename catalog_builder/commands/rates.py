"""The command ``rates``: rates estimated from the log, written into the studio's record when the maker asks for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from catalog_builder.build import calculate
from catalog_builder.mistake import MistakeError, Place, listed
from catalog_builder.phrase import Money, phrase, quantity
from catalog_builder.planning.estimated_rates import EstimatedRates, estimate_rates
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.rates_page import rates_text
from catalog_builder.publish.studio_calculation import Progress, StudioCalculation, quiet
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.records.keeping.rate_keeping import write_rates

# The tables of the log, each with the label that says what it holds, and its columns.
_TABLES = (
    ("content/bench_made.csv", "rates_made", "batch,product,size,finish,glass,count"),
    ("content/bench_log.csv", "rates_log", "date,batch,step,minutes"),
    ("content/spools.csv", "rates_spools", "batch,before_g,after_g"),
)


class UnknownStepError(Exception):
    """A step was asked for that the log does not have."""


@dataclass(frozen=True, slots=True)
class RatesReport:
    """Rates estimated from the log, of all steps or of those in ``steps``."""

    calculated: StudioCalculation
    learned: EstimatedRates
    steps: tuple[str, ...]

    @property
    def phrasing(self) -> Phrasing:
        """How the studio words what is said."""
        return self.calculated.phrasing

    def lines(self) -> Iterator[str]:
        """Give the report for the terminal."""
        if not self.learned.studies:
            yield self.phrasing.say(phrase("commands.rates_nothing"))
            for path, label, columns in _TABLES:
                yield f"  {path:<25} {self.phrasing.say(phrase(f'commands.{label}', columns=columns))}"
        yield from rates_text(self.learned, self.steps, self.phrasing)


def read_report(project: Path, day: date, steps: Sequence[str], progress: Progress) -> RatesReport:
    """Compare the log with the rates in force.

    Raises:
        MistakeError: the records have mistakes.
        UnknownStepError: a step that was asked for is not in the log.
    """
    calculated = calculate(project, day, progress)
    content = calculated.content
    learned = estimate_rates(content.studio, content.materials.rows, content.log, calculated.calculations)
    known = [study.name for study in learned.studies]
    for step in steps:
        if step not in known:
            raise UnknownStepError(f"The log holds nothing of {step!r}. It holds: {listed(known, 40) or 'nothing'}.")
    return RatesReport(calculated, learned, tuple(steps))


def use_rates(project: Path, report: RatesReport) -> tuple[str, ...]:
    """Write the reported rates into ``studio.toml``, and give what that changes for an average piece.

    Raises:
        MistakeError: there is nothing to write, or it cannot be written; the file stands as it was.
    """
    content = report.calculated.content
    changes = {
        study.path: study.changes
        for study in report.learned.studies
        if study.changes and (not report.steps or study.name in report.steps)
    }
    if not changes:
        raise MistakeError.at(
            Place(path="content/bench_log.csv"),
            wrong="the log says nothing that studio.toml does not say already",
            expected="timed batches or weighed spools that move a rate",
            mend="time or weigh more batches; `catalog-builder rates` shows what there is",
        )
    write_rates(project, content.studio_source, changes)
    after = calculate(project, content.day, quiet)
    (old_minutes, old_cost), (minutes, cost) = _average(report.calculated.calculations), _average(after.calculations)
    count = sum(len(values) for values in changes.values())
    effect = phrase(
        "commands.rates_effect",
        old_minutes=quantity(old_minutes, "min", 1),
        old_cost=Money(old_cost),
        minutes=quantity(minutes, "min", 1),
        cost=Money(cost),
    )
    written = phrase("commands.rates_written", count=count, path="content/studio.toml")
    return tuple(map(report.phrasing.say, (written, effect, phrase("commands.rates_follow"))))


def _average(calculations: Sequence[VariantCalculation]) -> tuple[Decimal, Decimal]:
    """Give the mean minutes and the mean cost of all variants."""
    costs = [variant.cost for variant in calculations]
    minutes, total = sum(cost.minutes for cost in costs), sum(cost.total for cost in costs)
    return Decimal(minutes) / len(costs), Decimal(total) / len(costs)
