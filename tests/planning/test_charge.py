"""Glass is charged by boxes until the maker adopts a kept layout that fits; then by its share of the sheets."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.build import calculate
from catalog_builder.commands.why import explain
from catalog_builder.planning.plan_layout import read_shares
from catalog_builder.publish.bench.batches import glass_note
from catalog_builder.publish.studio_calculation import StudioCalculation, quiet
from catalog_builder.records.kept_layout import layout_path
from tests.batch import glass_of, keep_by_hand, planned_studio, write_plan
from tests.english import english
from tests.studio import DAY

# A half of the pane is 49.6 by 60 mm; its box with 3 mm of clearance each way is 52.6 by 63.
BOX_DM2 = Decimal("0.331380")
# Two halves take 55.6 mm of a sheet 130 mm high; the 144.4 mm that are left are kept.
SHARE_DM2 = Decimal("0.361400")


def charged(root: Path) -> list[Decimal]:
    """The glass charged for a pane, in dm2, by its two glasses."""
    calculated = calculate(root, DAY, quiet)
    return [line.quantity for line in calculated.calculations[0].cost.lines if line.group == "glass"]


def codes(calculated: StudioCalculation) -> list[str]:
    """The findings about layouts."""
    return [finding.code for finding in calculated.findings if finding.code.startswith("L")]


def test_boxes_are_charged_while_no_layout_is_adopted(tmp_path: Path) -> None:
    """A plan, and a layout kept for it, move no price before the maker says so."""
    planned_studio(tmp_path)
    assert charged(tmp_path) == [BOX_DM2, BOX_DM2]
    keep_by_hand(tmp_path)
    assert charged(tmp_path) == [BOX_DM2, BOX_DM2]


def test_the_share_is_charged_once_it_is_adopted(tmp_path: Path) -> None:
    """Two panes share what the sheet loses: 55.6 by 130 mm, half each."""
    planned_studio(tmp_path, "adopted = true")
    keep_by_hand(tmp_path)
    assert charged(tmp_path) == pytest.approx([SHARE_DM2, SHARE_DM2], abs=Decimal("0.0001"))


def test_a_rest_too_small_to_keep_is_charged(tmp_path: Path) -> None:
    """Where the offcut is under the least size, the whole sheet of 200 by 130 mm is charged to the two."""
    tables = {"making": 'solder = "solder"\nwire = "wire"\noffcut_mm = 145'}
    planned_studio(tmp_path, "adopted = true", tables=tables)
    keep_by_hand(tmp_path)
    assert charged(tmp_path) == pytest.approx([Decimal("1.3"), Decimal("1.3")], abs=Decimal("0.0001"))


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("batches/spring.toml", "count = 2", "count = 3"),
        ("products/pane/product.md", 'x1="50" y1="0" x2="50" y2="60"', 'x1="51" y1="0" x2="51" y2="60"'),
        ("materials.csv", "200,130", "200,140"),
        ("studio.toml", 'wire = "wire"', 'wire = "wire"\ncutting_clearance_mm = 4'),
        ("studio.toml", 'wire = "wire"', 'wire = "wire"\nfoil_gap_mm = 1'),
    ],
    ids=["count", "drawing", "sheet", "clearance", "foil gap"],
)
def test_a_layout_out_of_date_is_told_and_boxes_are_charged(tmp_path: Path, file: str, old: str, new: str) -> None:
    """Whatever a layout was made from has changed: it charges nothing until it is laid again, and a finding says so."""
    planned_studio(tmp_path, "adopted = true")
    keep_by_hand(tmp_path)
    path = tmp_path / "content" / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")
    calculated = calculate(tmp_path, DAY, quiet)
    assert codes(calculated) == ["L01"]
    glass = [line for line in calculated.calculations[0].cost.lines if line.group == "glass"]
    assert {line.basis.key for line in glass} == {"basis.glass_boxes"}


def test_a_layout_changed_by_hand_is_out_of_date(tmp_path: Path) -> None:
    """Pieces pushed into each other would charge less glass than any saw can cut: such a file charges nothing."""
    planned_studio(tmp_path, "adopted = true")
    keep_by_hand(tmp_path)
    path = layout_path(tmp_path, "spring")
    path.write_text(path.read_text(encoding="utf-8").replace("66.0", "60.0"), encoding="utf-8")
    assert codes(calculate(tmp_path, DAY, quiet)) == ["L01"]
    assert charged(tmp_path) == [BOX_DM2, BOX_DM2]


def test_stock_and_prices_do_not_age_a_layout(tmp_path: Path) -> None:
    """Cutting the batch uses the stock up, and a new price of glass is no new outline: the layout stays in force."""
    planned_studio(tmp_path, "adopted = true", stock="material,amount\nreed,2\n")
    keep_by_hand(tmp_path)
    (tmp_path / "content" / "stock.csv").unlink()
    with (tmp_path / "content" / "material_prices.csv").open("a", encoding="utf-8") as file:
        file.write("reed,2031-05-01,15.00\n")
    calculated = calculate(tmp_path, DAY, quiet)
    assert codes(calculated) == []
    assert charged(tmp_path) == pytest.approx([SHARE_DM2, SHARE_DM2], abs=Decimal("0.0001"))


def test_adopting_without_a_layout_is_told(tmp_path: Path) -> None:
    """Where none is kept there is nothing to charge by: boxes are charged, and a finding says how to make one."""
    planned_studio(tmp_path, "adopted = true")
    calculated = calculate(tmp_path, DAY, quiet)
    (finding,) = [each for each in calculated.findings if each.code == "L02"]
    assert "catalog-builder batch spring --lay" in english(finding.advice)
    assert charged(tmp_path) == [BOX_DM2, BOX_DM2]


@pytest.mark.parametrize(
    ("first", "second", "title"), [(False, False, "May"), (True, False, "April"), (False, True, "May")]
)
def test_of_layouts_of_one_day_the_adopted_or_the_last_plan_counts(
    tmp_path: Path, first: bool, second: bool, title: str
) -> None:
    """Two plans hold the same variant, laid on one day: the adopted one charges it, else the later by name."""
    planned_studio(tmp_path)
    keep_by_hand(tmp_path)
    calculated = calculate(tmp_path, DAY, quiet)
    glass, making = glass_of(calculated), calculated.content.studio.making
    keys = ({"title": "April", "adopted": first}, {"title": "May", "adopted": second})
    plans = (replace(glass.plan, keys=glass.plan.keys.model_copy(update=update)) for update in keys)
    shares = read_shares([replace(glass, plan=plan) for plan in plans], making)
    assert {share.title for share in shares.values()} == {title}


def test_the_card_says_which_way_and_what_the_other_gives(tmp_path: Path) -> None:
    """Glass at 12.00 a dm2: two boxes are 7.95, two shares 8.67; the note names both, whichever is in force."""
    planned_studio(tmp_path)
    keep_by_hand(tmp_path)
    for adopted, begins in (("", "Glass is charged by boxes"), ("adopted = true", "Glass is charged by the share")):
        write_plan(tmp_path, adopted)
        calculated = calculate(tmp_path, DAY, quiet)
        (variant,) = calculated.calculations
        assert variant.glass is not None
        note = glass_note(variant.glass, calculated.phrasing)
        assert note.startswith(begins)
        assert "7.95" in note
        assert "8.67" in note
        assert "Spring fair" in note


def test_the_explanation_names_the_layout(tmp_path: Path) -> None:
    """Asked why, the line of glass says that it is a share of a layout, of which batch and which day."""
    planned_studio(tmp_path, "adopted = true")
    keep_by_hand(tmp_path)
    assert "share of the layout of “Spring fair” of 20 May 2031" in explain(tmp_path, DAY, "pane")
