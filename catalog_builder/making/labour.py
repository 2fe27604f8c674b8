"""Labour: minutes at the bench, step by step, from what the steps depend on.

Standard time = basic time x (1 + allowance), after the ILO's Introduction to Work Study (as quoted; the
book was not read). Minutes of waiting only delay; nobody is paid for them.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.making.quantities import PER, Measures
from catalog_builder.records.studio import Bench, Finish, Studio, WorkStep

# What is done again for a piece that cracks: the parts of a step that go by pieces and their edges.
AGAIN = ("piece", "edge_m", "dm2")


@dataclass(frozen=True, slots=True)
class StepTime:
    """Minutes of one step for one item: ``minutes`` of hands-on work with the allowance, and ``waiting``."""

    name: str
    title: str
    minutes: Decimal
    waiting: Decimal
    basis: str


def read_times(studio: Studio, finish: Finish, measures: Measures, batch: int) -> tuple[StepTime, ...]:
    """Give the minutes of each step for one item out of a batch: the general steps, then those of the finish."""
    steps = {**studio.steps, **finish.steps}
    return tuple(step_time(name, step, studio.bench, measures, batch) for name, step in steps.items())


def step_time(name: str, step: WorkStep, bench: Bench, measures: Measures, batch: int) -> StepTime:
    """Give the minutes of a step: (batch / count + item + piece x pieces + ...) x (1 + allowance)."""
    basic = step.batch / batch
    basis = [f"{step.batch:g} / batch of {batch}"] if step.batch else []
    for measure, words in PER.items():
        rate: Decimal = getattr(step, measure)
        if rate:
            amount = measures.of(measure)
            basic += rate * amount
            shown = f"{amount:.3f}" if amount % 1 else f"{amount:g}"
            plural = "s" if amount != 1 and measure in ("piece", "joint") else ""
            basis.append(f"{rate:g} x {shown} {words}{plural}")
            if step.repeats and measure in AGAIN:
                basic += rate * amount * measures.broken
    if step.repeats and measures.broken:
        basis.append(f"{measures.broken * 100:.1f} % of it again for breakage")
    basis_text = f"{' + '.join(basis) or 'nothing'}, and {bench.allowance_percent:g} % allowance"
    return StepTime(name, step.title, basic * (1 + bench.allowance_percent / 100), step.waiting, basis_text)
