"""Glass bought by the piece: used whole, counted, never laid on a sheet, neither cut nor ground."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.build import calculate
from catalog_builder.making.labour import read_times
from catalog_builder.making.quantities import read_measures
from catalog_builder.mistake import MistakeError
from catalog_builder.publish.studio_calculation import quiet
from tests.batch import glass_of, plan_of, planned_studio
from tests.making.test_quantities import uses
from tests.studio import DAY, Cells, content, makings, project, record, suspension

# A bevel of 50 by 60 mm, as the pane's left half is drawn; a sheet's loss stays with the sheet.
BEVEL: Cells = {
    "kind": "glass",
    "pack_size": "2",
    "pack_unit": "each",
    "sheet_width_mm": "60",
    "sheet_height_mm": "50",
    "thickness_mm": "5",
    "section": "bevelled",
    "edge_mm": "2.5",
    "bevel_mm": "10",
    "colour": "#eef4f4",
    "loss_percent": "4",
}
WITH_BEVEL = record(glass="{left: bevel, right: slate}")


def test_it_is_charged_by_the_piece(tmp_path: Path) -> None:
    """One bevel and the 4 % that are lost, in pieces; the right half is charged by its box as ever."""
    used = uses(content(tmp_path, WITH_BEVEL, materials={"bevel": BEVEL}))
    assert used["bevel"].quantity == Decimal("1.04")
    assert used["bevel"].material.unit == "each"
    assert used["slate"].quantity == pytest.approx(Decimal("0.33138"))


def test_cutting_and_grinding_leave_it_out(tmp_path: Path) -> None:
    """A step that is repeated works on cut glass: one piece of two, half of the edge; other steps count both."""
    tables = {
        "steps.cut": 'title = "Cut"\nrepeats = true\npiece = 10\nedge_m = 100',
        "steps.foil": 'title = "Foil"\npiece = 10',
    }
    records = content(tmp_path, WITH_BEVEL, tables, {"bevel": BEVEL})
    measures = read_measures(makings(records)[0])
    finish = records.studio.finishes["bright"]
    minutes = {step.name: step.minutes for step in read_times(records.studio, finish, measures, 1)}
    allowance = 1 + records.studio.bench.allowance_percent / 100
    assert minutes["foil"] == 20 * allowance
    assert minutes["cut"] == (10 + 100 * Decimal("0.2192")) * allowance
    assert (measures.piece, measures.ready_piece, measures.broken) == (Decimal(2), Decimal(1), Decimal(0))


def test_its_loss_cracks_no_glass(tmp_path: Path) -> None:
    """Where 6 % of the sheet's pieces crack, 6 % of what is cut is cut again, the bevel not counted."""
    records = content(tmp_path, WITH_BEVEL, materials={"bevel": BEVEL, "slate": {"loss_percent": "6"}})
    assert read_measures(makings(records)[0]).broken == Decimal("0.06")


def test_its_edge_decides_the_foil(tmp_path: Path) -> None:
    """The foil wraps the thickest edge: the 3 mm of the sheet, not the 5 mm in the bevel's middle."""
    records = content(tmp_path, WITH_BEVEL, materials={"bevel": BEVEL})
    thick = {**BEVEL, "section": "flat", "edge_mm": "", "bevel_mm": ""}
    assert makings(records)[0].bead == makings(content(tmp_path / "sheet"))[0].bead
    with pytest.raises(MistakeError, match="wraps the edge of 'bevel', 5 mm thick"):
        makings(content(tmp_path / "thick", WITH_BEVEL, materials={"bevel": thick}))


def test_it_weighs_its_section(tmp_path: Path) -> None:
    """49.6 x 60 mm of glass 3 mm thick, and a bevel of the same outline by the prismoidal formula, by hand."""
    records = content(tmp_path, WITH_BEVEL, materials={"bevel": BEVEL})
    wide, high = 49.6, 60.0
    middle, top = (wide - 10) * (high - 10), (wide - 20) * (high - 20)
    bevel = (wide * high * 2.5 + 2.5 * (wide * high + 4 * middle + top) / 6) * 2.5 / 1000
    assert suspension(records).body.share("glass") == pytest.approx(bevel + wide * high * 3 * 2.5 / 1000, rel=1e-6)


def test_it_is_bought_but_not_laid(tmp_path: Path) -> None:
    """Three panes need three bevels and a spare share: two packs of two; no sheet of bevel is laid or cut."""
    planned_studio(tmp_path, count=3)
    project(
        tmp_path,
        {"pane": WITH_BEVEL},
        {},
        {"bevel": BEVEL, "slate": {"sheet_width_mm": "200", "sheet_height_mm": "130"}},
    )
    plan = plan_of(tmp_path)
    (need,) = [need for need in plan.needs if need.material.material == "bevel"]
    assert (need.needed, need.packs) == (Decimal("3.12"), 2)
    assert [glass.material.material for glass in glass_of(calculate(tmp_path, DAY, quiet)).glasses] == ["slate"]


def test_stock_counts_it(tmp_path: Path) -> None:
    """Three in a drawer and half a pack of two leave none to buy."""
    project(tmp_path, {"pane": WITH_BEVEL}, {}, {"bevel": BEVEL})
    planned_studio(tmp_path, count=3, stock="material,amount,unit\nbevel,3,each\nbevel,0.5,\n")
    project(
        tmp_path,
        {"pane": WITH_BEVEL},
        {},
        {"bevel": BEVEL, "slate": {"sheet_width_mm": "200", "sheet_height_mm": "130"}},
    )
    (need,) = [need for need in plan_of(tmp_path).needs if need.material.material == "bevel"]
    assert (need.on_hand, need.packs) == (Decimal(4), 0)


@pytest.mark.parametrize(
    ("cells", "codes"),
    [
        ({}, []),
        ({"sheet_width_mm": "50", "sheet_height_mm": "60"}, []),
        # Drawn 50 by 60 mm: within a millimetre it is the same piece, beyond it is not.
        ({"sheet_width_mm": "60.9", "sheet_height_mm": "50.9"}, []),
        ({"sheet_width_mm": "60", "sheet_height_mm": "51.1"}, ["G09"]),
        ({"sheet_width_mm": "100", "sheet_height_mm": "100"}, ["G09"]),
        ({"sheet_width_mm": "", "sheet_height_mm": ""}, []),
    ],
)
def test_a_piece_drawn_in_another_size_is_told(tmp_path: Path, cells: Cells, codes: list[str]) -> None:
    """A bevel of 50 by 60 mm must be drawn so, whichever way it lies."""
    project(tmp_path, {"pane": WITH_BEVEL}, {}, {"bevel": {**BEVEL, **cells}})
    findings = calculate(tmp_path, DAY, quiet).findings
    assert [finding.code for finding in findings if finding.code == "G09"] == codes


def test_a_small_nugget_is_no_piece_too_small(tmp_path: Path) -> None:
    """A limit for what can be cut and ground says nothing about what is bought."""
    drawing = (
        '<path data-glass="left" d="M0,0 h50 v60 h-50 z"/><path data-glass="right" d="M50,0 h50 v60 h-50 z"/>'
        '<path data-glass="gem" d="M100,20 h4 v4 h-4 z"/>'
        '<circle data-mark="ring" cx="50" cy="0" r="2"/>'
    )
    gem = {**BEVEL, "section": "domed", "bevel_mm": "", "sheet_width_mm": "4", "sheet_height_mm": "4"}
    box = 'width="104mm" height="60mm" viewBox="0 0 104 60"'
    told = []
    for name, material in (("ready", "gem"), ("cut", "reed")):
        glass = f"{{left: reed, right: slate, gem: {material}}}"
        project(tmp_path / name, {"pane": record(drawing, box, glass)}, {}, {"gem": gem})
        told.append({finding.code for finding in calculate(tmp_path / name, DAY, quiet).findings} & {"G01", "G09"})
    assert told == [set(), {"G01"}]


@pytest.mark.parametrize(
    ("cells", "wrong"),
    [
        ({"edge_mm": ""}, "the bevelled glass 'bevel' has no edge_mm"),
        ({"bevel_mm": ""}, "the bevelled glass 'bevel' has no bevel_mm"),
        ({"section": "domed"}, "the domed glass 'bevel' has a value for bevel_mm"),
        ({"edge_mm": "6"}, "the edge of 'bevel' is thicker (6 mm) than the piece (5 mm)"),
        (
            {"pack_unit": "m2"},
            "'bevel' is not glass bought by the piece, but has a value for bevel_mm, edge_mm, section",
        ),
        ({"section": "faceted"}, "section: 'faceted'"),
        ({"thickness_mm": ""}, "glass 'bevel' has no thickness_mm"),
    ],
)
def test_a_row_that_cannot_be_is_told(tmp_path: Path, cells: Cells, wrong: str) -> None:
    """Each with its file and line."""
    with pytest.raises(MistakeError) as caught:
        content(tmp_path, WITH_BEVEL, materials={"bevel": {**BEVEL, **cells}})
    mistake = next(mistake for mistake in caught.value.mistakes if wrong in mistake.wrong)
    assert mistake.place.path == "content/materials.csv"
    assert mistake.place.line is not None


def test_offcuts_of_it_are_refused(tmp_path: Path) -> None:
    """A bevel has no offcut."""
    project(tmp_path, {"pane": WITH_BEVEL}, {}, {"bevel": BEVEL})
    (tmp_path / "content" / "stock.csv").write_text(
        "material,amount,width_mm,height_mm\nbevel,1,20,20\n", encoding="utf-8"
    )
    with pytest.raises(MistakeError) as caught:
        calculate(tmp_path, DAY, quiet)
    assert "bevel is no glass in sheets" in caught.value.mistakes[0].wrong
