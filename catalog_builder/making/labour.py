"""Labour: minutes at the bench, step by step, from what the steps depend on.

Standard time = basic time x (1 + allowance), after the ILO's Introduction to Work Study (as quoted; the
book was not read). Minutes of waiting only delay; nobody is paid for them.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import reduce

from catalog_builder.making.quantities import CUT_AGAIN, MEASURES, Measures
from catalog_builder.phrase import Number, Phrase, Quantity, phrase
from catalog_builder.records.studio import Bench, Finish, Studio, WorkStep
from catalog_builder.units import rounded


@dataclass(frozen=True, slots=True)
class StepTime:
    """Minutes of one step for one item: ``minutes`` of hands-on work with the allowance, and ``waiting``."""

    name: str
    title: str
    minutes: Decimal
    waiting: Decimal
    basis: Phrase


def read_times(studio: Studio, finish: Finish, measures: Measures, batch: int) -> tuple[StepTime, ...]:
    """Give the minutes of each step for one item out of a batch: the general steps, then those of the finish."""
    steps = {**studio.steps, **finish.steps}
    return tuple(step_time(name, step, studio.bench, measures, batch) for name, step in steps.items())


def step_time(name: str, step: WorkStep, bench: Bench, measures: Measures, batch: int) -> StepTime:
    """Give the minutes of a step: (batch / count + item + piece x pieces + ...) x (1 + allowance).

    A step that is repeated for a cracked piece works on what is cut: pieces bought ready do not count. A step of which
    an item has nothing, such as that of a frame for a piece without one, is not done: its set-up does not count either.
    """
    rates = [measure for measure in MEASURES if getattr(step, measure)]
    if rates and not any(measures.of(measure, step.repeats) for measure in rates):
        return StepTime(name, step.title, Decimal(0), Decimal(0), phrase("basis.nothing"))
    basic = step.batch / batch
    parts = [phrase("basis.set_up", minutes=Number(step.batch, 4), batch=batch)] if step.batch else []
    for measure in MEASURES:
        rate: Decimal = getattr(step, measure)
        if rate:
            amount = measures.of(measure, step.repeats)
            basic += rate * amount
            parts.append(phrase(f"basis.for_{measure}", rate=Number(rate, 4), count=Number(amount, 3)))
            if step.repeats and measure in CUT_AGAIN:
                basic += rate * amount * measures.broken
    if step.repeats and measures.broken:
        parts.append(phrase("basis.breakage", share=Quantity(rounded(measures.broken, 3), "share")))
    basis = phrase(
        "basis.step",
        minutes=reduce(_plus, parts) if parts else phrase("basis.nothing"),
        allowance=Quantity(bench.allowance_percent / 100, "share"),
    )
    return StepTime(name, step.title, basic * (1 + bench.allowance_percent / 100), step.waiting, basis)


def _plus(sum_so_far: Phrase, part: Phrase) -> Phrase:
    return phrase("basis.plus", sum=sum_so_far, part=part)
