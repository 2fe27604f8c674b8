"""The command ``batch``: a plan's layout, computed and kept if the maker asks for it, and its summary."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path

from catalog_builder.build import calculate, calculate_and_publish
from catalog_builder.making.sheet_layout import lay_batch
from catalog_builder.mistake import no_such_record
from catalog_builder.phrase import Money, Phrase, phrase, quantity
from catalog_builder.planning.kept_glass import KeptGlass
from catalog_builder.planning.plan import PlannedBatch
from catalog_builder.planning.plan_layout import read_plan_glass
from catalog_builder.publish.bench.batches import plan_of
from catalog_builder.publish.studio_calculation import Progress, StudioCalculation
from catalog_builder.records.batch_plan import Plan
from catalog_builder.records.kept_layout import keep_layout, layout_path


def lay_plan(project: Path, day: date, name: str, seconds: int, progress: Progress) -> Path:
    """Lay the glass of a plan on sheets, packing each for some seconds, keep the layout, and give its file.

    Raises:
        MistakeError: the records have mistakes, there is no such plan, or its glass cannot be laid.
    """
    calculated = calculate(project, day, progress)
    content = calculated.content
    plan, clearance = plan_named(content.plans, name), content.studio.making.cutting_clearance_mm
    layout = content.layouts.get(plan.name)
    kept_glass = KeptGlass(content.materials.rows, clearance)
    plan_glass = read_plan_glass(plan, layout, kept_glass, calculated.calculations)
    pieces = sum(glass.count + glass.spares for glass in plan_glass.glasses)
    progress("Laying glass on sheets", 0, pieces)
    layout = lay_batch(
        plan_glass.glasses,
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
    lines: list[str] = []
    calculated, _ = calculate_and_publish(
        project, day, workers, progress, lambda whole, _: lines.extend(summary(whole, name))
    )
    return (*(finding.worded() for finding in calculated.worded_findings), *lines)


def plan_named(plans: Sequence[Plan], name: str) -> Plan:
    """Give a plan by its file's name.

    Raises:
        MistakeError: there is none of that name.
    """
    by_name = {plan.name: plan for plan in plans}
    if name not in by_name:
        raise no_such_record("plan", name, by_name, "content/batches/spring.toml")
    return by_name[name]


def summary(calculated: StudioCalculation, name: str) -> Iterator[str]:
    """Give what a plan cuts, times and buys, in a few lines."""
    content = calculated.content
    plan = plan_named(content.plans, name)
    planned = plan_of(content.planning_records, plan, calculated.calculations, calculated.kept.store)
    yield from map(calculated.phrasing.say, _summary(content.project, planned))


def _summary(project: Path, planned: PlannedBatch) -> Iterator[Phrase]:
    glass = planned.glass
    keys, name = glass.plan.keys, glass.plan.name
    hands_on = planned.hands_on_hours
    left = planned.hours_left - hands_on
    yield phrase("commands.batch_title", title=keys.title, count=planned.items, day=keys.ready_by)
    yield phrase("commands.batch_cut", pieces=planned.pieces, spares=planned.spares, glasses=len(glass.glasses))
    yield phrase("commands.batch_at_hand", hours=quantity(planned.hours_left, "h", 1), count=planned.days_left)
    yield phrase(
        f"commands.batch_bench_{'spare' if left >= 0 else 'short'}",
        hours=quantity(hands_on, "h", 1),
        left=quantity(abs(left), "h", 1),
    )
    yield phrase("commands.batch_waiting", hours=quantity(planned.waiting_hours, "h", 1))
    yield phrase("commands.batch_buy", cost=Money(planned.cost), count=planned.packs)
    if glass.layout is None:
        yield phrase(f"commands.batch_sheets_{'old' if glass.out_of_date else 'none'}", name=name)
        return
    path = layout_path(project, name).relative_to(project).as_posix()
    charged = "adopted" if keys.adopted else "kept"
    yield phrase(f"commands.batch_sheets_{charged}", day=glass.layout.laid_on, path=path)
