"""Plans for tests: a studio whose panes are laid by hand, so that no packing is needed."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path

from catalog_builder.build import calculate
from catalog_builder.planning.kept_glass import KeptGlass
from catalog_builder.planning.plan import PlannedBatch, plan_batch
from catalog_builder.planning.plan_layout import PlanGlass, read_plan_glass
from catalog_builder.publish.studio_calculation import StudioCalculation, quiet
from catalog_builder.records.kept_layout import KeptLayout, LaidGlass, LaidSheet, PlacedPiece, keep_layout
from tests.studio import DAY, Cells, project, record

# Sheets of 200 by 130 mm: two panes stand one above the other, 3 mm clear, and leave an offcut of 144.4 by 130.
SHEET = {"sheet_width_mm": "200", "sheet_height_mm": "130"}
GLASS: Mapping[str, Cells] = {"reed": SHEET, "slate": SHEET}
PLAN = """title = "Spring fair"
begins = 2031-05-21
ready_by = 2031-05-27
hours_a_day = 4
{keys}
[[make]]
product = "pane"
count = {count}
"""


def planned_studio(
    root: Path,
    keys: str = "",
    count: int = 2,
    tables: Mapping[str, str] | None = None,
    stock: str = "",
    faces: str = "",
) -> Path:
    """A studio with one product and a plan of so many of it; ``keys`` are further lines of the plan.

    ``faces``: whether both faces of its glass will do, as its cell says.
    """
    project(root, {"pane": record()}, tables, {name: {**row, "either_face": faces} for name, row in GLASS.items()})
    write_plan(root, keys, count)
    if stock:
        (root / "content" / "stock.csv").write_text(stock, encoding="utf-8")
    return root


def write_plan(root: Path, keys: str = "", count: int = 2) -> None:
    """Write the plan anew."""
    path = root / "content" / "batches" / "spring.toml"
    path.parent.mkdir(exist_ok=True)
    path.write_text(PLAN.format(keys=keys, count=count), encoding="utf-8")


def glass_of(calculated: StudioCalculation) -> PlanGlass:
    """The glass of the one plan."""
    content, plan = calculated.content, calculated.content.plans[0]
    layout, clearance = content.layouts.get(plan.name), content.studio.making.cutting_clearance_mm
    return read_plan_glass(plan, layout, KeptGlass(content.materials.rows, clearance), calculated.calculations)


def plan_of(root: Path, day: date = DAY) -> PlannedBatch:
    """The one plan of a project, worked out."""
    calculated = calculate(root, day, quiet)
    content = calculated.content
    return plan_batch(glass_of(calculated), content.studio, content.materials, content.stock, content.day)


def keep_by_hand(
    root: Path, places: tuple[tuple[float, float], ...] = ((3.0, 3.0), (3.0, 66.0)), downs: tuple[int, ...] = ()
) -> KeptLayout:
    """Keep a layout with a pane's halves of 49.6 by 60 mm at some places of a sheet of each glass.

    ``downs``: which of the places have their piece face down.
    """
    from catalog_builder.making.cutting_list import fingerprint

    calculated = calculate(root, DAY, quiet)
    glasses = glass_of(calculated).glasses
    laid = []
    for glass, number in zip(glasses, ("1", "2"), strict=True):
        pieces = tuple(
            PlacedPiece(product="pane", size="", number=number, turn=0, x=x, y=y, face_down=place in downs)
            for place, (x, y) in enumerate(places)
        )
        used = max(x for x, _ in places) + 49.6 + 3
        sheet = LaidSheet(offcut=False, width_mm=200, height_mm=130, used_mm=round(used, 3), pieces=pieces)
        laid.append(LaidGlass(material=glass.material.material, sheets=(sheet,)))
    clearance = calculated.content.studio.making.cutting_clearance_mm
    layout = KeptLayout(laid_on=DAY, fingerprint=fingerprint(glasses, clearance), glasses=tuple(laid))
    keep_layout(root, "spring", layout)
    return layout
