"""The command ``batch``: a plan's layout, computed and kept on the maker's word, and its summary for the terminal."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

from catalog_builder.build import Progress, StudioCalculation, calculate, calculate_and_publish
from catalog_builder.making.sheet_layout import lay_batch
from catalog_builder.mistake import Mistake, MistakeError, Place, listed, nearest
from catalog_builder.planning.plan import PlannedBatch, plan_batch
from catalog_builder.planning.plan_layout import read_plan_glass
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.batch_plan import Plan
from catalog_builder.records.content import Content
from catalog_builder.records.kept_layout import keep_layout, layout_path


def lay_plan(project: Path, day: date, name: str, seconds: int, progress: Progress) -> Path:
    """Lay the glass of a plan on sheets, packing each for some seconds, keep the layout, and give its file.

    Raises:
        MistakeError: the records have mistakes, there is no such plan, or its glass cannot be laid.
    """
    calculated = calculate(project, day, progress)
    content = calculated.content
    found = read_plan_glass(content, plan_named(content, name), calculated.calculations)
    pieces = sum(glass.count + glass.spares for glass in found.glasses)
    clearance = content.studio.making.cutting_clearance_mm
    progress("Laying glass on sheets", 0, pieces)
    layout = lay_batch(
        found.glasses,
        content.stock,
        clearance,
        seconds,
        day,
        lambda done: progress("Laying glass on sheets", done, pieces),
    )
    return keep_layout(project, name, layout)


def publish_plan(project: Path, day: date, name: str, workers: int, progress: Progress) -> tuple[str, ...]:
    """Publish the whole project, and give the findings and the summary of a plan for the terminal.

    Raises:
        MistakeError: the records have mistakes, or there is no such plan; nothing is published then.
    """
    told: list[str] = []
    calculated, _ = calculate_and_publish(project, day, workers, progress, lambda one: told.extend(summary(one, name)))
    return (*(finding.worded() for finding in calculated.worded_findings), *told)


def plan_named(content: Content, name: str) -> Plan:
    """Give a plan by its file's name.

    Raises:
        MistakeError: there is none of that name.
    """
    plans = {plan.name: plan for plan in content.plans}
    if name in plans:
        return plans[name]
    guess = nearest(name, plans)
    raise MistakeError(
        [
            Mistake(
                place=Place(path="content/batches"),
                wrong=f"there is no plan {name!r}",
                expected=f"one of: {listed(plans)}" if plans else "a file there, such as content/batches/spring.toml",
                mend=f"did you mean {guess!r}?" if guess else "write the name of the plan's file, without .toml",
            )
        ]
    )


def summary(calculated: StudioCalculation, name: str) -> Iterator[str]:
    """Give what a plan cuts, times and buys, in a few lines."""
    content = calculated.content
    planned, wording = plan_batch(content, plan_named(content, name), calculated.calculations), _wording(content)
    keys = planned.found.plan.keys
    yield f"{keys.title}: {planned.items} items by {keys.ready_by}"
    yield f"  to cut:   pieces {planned.pieces}, spares {planned.spares}, glasses {len(planned.found.glasses)}"
    yield f"  at hand:  {wording.number(planned.hours_left, 1)} h on {planned.days_left} days"
    yield f"  bench:    {wording.number(planned.hands_on_hours, 1)} h hands-on, {_balance(planned, wording)}"
    yield f"  waiting:  {wording.number(planned.waiting_hours, 1)} h, which only delay"
    yield f"  to buy:   {wording.money(planned.cost)} for {planned.packs} packs"
    yield f"  sheets:   {_sheets(content, planned)}"


def _balance(planned: PlannedBatch, wording: Wording) -> str:
    over = planned.hours_left - planned.hands_on_hours
    return f"{wording.number(abs(over), 1)} h {'to spare' if over >= 0 else 'too few'}"


def _sheets(content: Content, planned: PlannedBatch) -> str:
    found = planned.found
    name = found.plan.name
    if found.layout is None:
        why = "the kept layout is out of date" if found.out_of_date else "no layout is kept"
        return f"estimated by boxes, as {why}; `catalog-builder batch {name} --lay` makes one"
    path = layout_path(content.project, name).relative_to(content.project).as_posix()
    charged = "charged by it" if found.plan.keys.adopted else "not adopted: `adopted = true` in the plan charges by it"
    return f"laid on {found.layout.laid_on} ({path}); {charged}"


def _wording(content: Content) -> Wording:
    return Wording.of(content.studio.studio)
