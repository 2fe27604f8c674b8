"""A cut sheet is true to scale on paper: pieces lie where the layout has them, under their pattern sheet's numbers."""

from __future__ import annotations

import math
import re
from collections import Counter
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
import shapely
from shapely import LinearRing, Polygon, affinity

from catalog_builder.build import calculate
from catalog_builder.planning.plan_layout import PlanGlass
from catalog_builder.publish.bench.cut_sheet import design_letters, write_cut_sheets
from catalog_builder.publish.sheets.tiles import FOOT_MM, HEAD_MM, MARGIN_MM
from catalog_builder.publish.studio_calculation import StudioCalculation, quiet
from catalog_builder.records.kept_layout import LaidSheet, PieceKey
from tests.batch import glass_of, keep_by_hand, planned_studio
from tests.publish.bench.writing import bench_folder, writer_of
from tests.publish.demo import Demo
from tests.publish.printed import Printed, Stroke, pages_of
from tests.studio import DAY

# What a rule at the bench can tell apart; and the widths in which the theme draws a piece and the sheet's edge.
RULE_MM = 0.2
PIECE_MM, EDGE_MM, BAR_MM = 0.22, 0.6, 0.25


def printed_sheets(calculated: StudioCalculation) -> bytes:
    """The cut sheets of the one plan, as they are written."""
    plan_glass = glass_of(calculated)
    assert plan_glass.layout is not None
    with TemporaryDirectory() as place:
        folder = bench_folder(Path(place))
        write_cut_sheets(plan_glass, plan_glass.layout, writer_of(calculated.content), folder, "cut_sheets.pdf")
        return (folder.making / "cut_sheets.pdf").read_bytes()


Sheets = tuple[StudioCalculation, PlanGlass, list[Printed]]


@pytest.fixture(scope="module")
def demo_sheets(demo: Demo) -> Sheets:
    """The demo's plan with its kept layout, and its cut sheets as they are printed."""
    calculated = demo.calculated
    found = glass_of(calculated)
    return calculated, found, pages_of(printed_sheets(calculated))


def is_sample(stroke: Stroke) -> bool:
    """Whether a line is one of the key's: a level one of 8.5 mm."""
    left, top, right, bottom = stroke.box
    return len(stroke.points) == 2 and bottom == top and abs(right - left - 8.5) < 0.01


def drawn(page: Printed, width: float) -> list[Stroke]:
    """The lines of the drawing in some width."""
    return [stroke for stroke in page.strokes if abs(stroke.width - width) < 0.01 and not is_sample(stroke)]


def tiles(pages: list[Printed]) -> list[Printed]:
    """The pages that show a sheet true to scale: those with its edge."""
    return [page for page in pages if drawn(page, EDGE_MM)]


def corner(page: Printed) -> tuple[float, float]:
    """The upper left corner of the sheet of glass on a page, whether it is seen or cut off."""
    boxes = np.array([stroke.box for stroke in drawn(page, EDGE_MM)])
    left, top = boxes[:, :2].min(axis=0).tolist()
    return left, top


def true_outline(found: PlanGlass, key: PieceKey, grain_up: bool) -> Polygon:
    """A cut of the pattern with its grain upright (or level), its box at nothing; by the test's own matrix."""
    made = next(
        one.made for row, one in found.ordered_variants if (row.product.slug, row.size) == (key.product, key.size)
    )
    (flat,) = [flat for flat in made.flats if flat.name == key.part]
    (cut,) = [cut for cut in flat.cuts if cut.number == key.number]
    assert not key.mirrored
    turn = math.radians((90 if grain_up else 0) - cut.grain)
    shape = affinity.affine_transform(
        cut.shape, [math.cos(turn), math.sin(turn), -math.sin(turn), math.cos(turn), 0, 0]
    )
    left, top = shape.bounds[:2]
    return affinity.translate(shape, -left, -top)


def laid_rings(found: PlanGlass, sheet: LaidSheet) -> list[LinearRing]:
    """Where the outlines of a sheet's pieces are, in mm from its corner."""
    rings = []
    for one in sheet.pieces:
        cosine, sine = math.cos(math.radians(one.turn)), math.sin(math.radians(one.turn))
        shape = true_outline(found, one.key, grain_up=True)
        rings.append(affinity.affine_transform(shape, [cosine, -sine, sine, cosine, one.x, one.y]).exterior)
    return rings


def met(page: Printed, rings: list[LinearRing]) -> list[int]:
    """Which outlines those printed on a page are: each within a rule's 0.2 mm of exactly one."""
    tree, place, found = shapely.STRtree(rings), corner(page), []
    for stroke in drawn(page, PIECE_MM):
        if len(stroke.points) > 3:
            ring = LinearRing(np.array(stroke.points) - place)
            near = tree.query(ring).tolist()
            (one,) = [index for index in near if shapely.hausdorff_distance(rings[index], ring) < RULE_MM]
            found.append(one)
    return found


def sheets_of(found: PlanGlass) -> list[LaidSheet]:
    """Every sheet of a plan's layout, in the order of the pages."""
    assert found.layout is not None
    return [sheet for laid in found.layout.glasses for sheet in laid.sheets]


def test_the_demos_layout_is_up_to_date(demo_sheets: Sheets) -> None:
    """The layout that the demo keeps is that of its plan as it stands: of these pieces, counts and sheets."""
    _, found, _ = demo_sheets
    assert not found.out_of_date
    assert found.layout is not None


def test_every_piece_is_printed_where_it_is_laid(demo_sheets: Sheets) -> None:
    """Measured back out of the PDF, each point of each outline lies within 0.2 mm of the cut laid on its sheet."""
    _, found, pages = demo_sheets
    shown = tiles(pages)
    titles = {glass.material.material: glass.material.title for glass in found.glasses}
    assert found.layout is not None
    counted = 0
    for laid in found.layout.glasses:
        for number, sheet in enumerate(laid.sheets, 1):
            name = titles[laid.material] + (f", sheet {number} of {len(laid.sheets)}" if len(laid.sheets) > 1 else "")
            mine = [page for page in shown if page.text(0, MARGIN_MM + HEAD_MM).startswith(name)]
            assert mine, name
            rings = laid_rings(found, sheet)
            for page in mine:
                assert sorted(met(page, rings)) == list(range(len(rings))), name
            counted += len(rings)
    assert counted == sum(glass.count + glass.spares for glass in found.glasses) > 500


def test_the_bar_is_true_on_every_sheet(demo_sheets: Sheets) -> None:
    """Each page that is true to scale carries a bar of 50 mm to measure before cutting."""
    _, _, pages = demo_sheets
    assert len(tiles(pages)) > 10
    for page in tiles(pages):
        foot = page.height - MARGIN_MM - FOOT_MM
        bars = [s.box for s in drawn(page, BAR_MM) if s.box[1] > foot and s.box[3] - s.box[1] < 0.01]
        assert max(right - left for left, _, right, _ in bars) == pytest.approx(50, abs=RULE_MM)


def test_nothing_is_printed_in_the_margin(demo_sheets: Sheets) -> None:
    """No page has ink within 10 mm of its edge, where home printers cannot reach."""
    for number, page in enumerate(demo_sheets[2], 1):
        edge = page.ink.copy()
        edge[100:-100, 100:-100] = False
        assert not edge.any(), f"page {number}"


def test_numbers_are_those_of_the_pattern_sheets(demo_sheets: Sheets) -> None:
    """Every piece that is laid has its drawing's letter and its own number on paper, at least once."""
    _, found, pages = demo_sheets
    letters = design_letters(found)
    assert list(letters.values()) == ["A", "B", "C", "D"]
    wanted = Counter(f"{letters[one.key.design]}{one.number}" for sheet in sheets_of(found) for one in sheet.pieces)
    top = MARGIN_MM + HEAD_MM
    printed = Counter(
        text
        for page in tiles(pages)
        for text, _, y in page.runs
        if top < y < page.height - MARGIN_MM - FOOT_MM and re.fullmatch(r"[A-Z]\d+[LR]?", text)
    )
    assert set(printed) == set(wanted)
    # What lies in an overlap of two sheets of paper stands on both.
    assert all(printed[text] >= count for text, count in wanted.items())


def test_a_small_batch_lies_as_it_was_laid(tmp_path: Path) -> None:
    """Two halves of 49.6 by 60 mm, the first 3 mm in from both edges of the sheet, the second 66 mm down."""
    planned_studio(tmp_path)
    keep_by_hand(tmp_path)
    calculated = calculate(tmp_path, DAY, quiet)
    pages = pages_of(printed_sheets(calculated))
    assert len(tiles(pages)) == 2
    for page in tiles(pages):
        left, top = corner(page)
        boxes = sorted(stroke.box for stroke in drawn(page, PIECE_MM) if len(stroke.points) > 3)
        for box, y in zip(boxes, (3, 66), strict=True):
            assert np.subtract(box, (left, top, left, top)) == pytest.approx((3, y, 52.6, y + 60), abs=RULE_MM)
        words = " ".join(page.text().split())
        assert "Keep the rest: 144 × 130 mm." in words
        assert "qualified person decide" in words
        # One drawing alone needs no letter.
        assert {text for text, _, _ in page.runs} & {"1", "2"}


def test_same_content_gives_the_same_bytes(tmp_path: Path) -> None:
    """Cut sheets made twice are the same to the byte."""
    planned_studio(tmp_path)
    keep_by_hand(tmp_path)
    calculated = calculate(tmp_path, DAY, quiet)
    first, second = (printed_sheets(calculated) for _ in range(2))
    assert first == second


def test_what_lies_face_down_has_an_arrow(tmp_path: Path) -> None:
    """Of two halves the lower one is cut face down: its number has an arrow, on each glass's sheet, the other none."""
    planned_studio(tmp_path, faces="yes")
    keep_by_hand(tmp_path, downs=(1,))
    pages = pages_of(printed_sheets(calculate(tmp_path, DAY, quiet)))
    for page, number in zip(tiles(pages), ("1", "2"), strict=True):
        printed = sorted((y, text) for text, _, y in page.runs if re.fullmatch(r"\d↓?", text))
        assert [text for _, text in printed if text[0] == number] == [number, f"{number}↓"]


def test_a_layout_with_pieces_turned_over_needs_glass_that_allows_it(tmp_path: Path) -> None:
    """Once a glass no longer says that both faces will do, its layout is out of date and charges nothing."""
    planned_studio(tmp_path, faces="yes")
    keep_by_hand(tmp_path, downs=(1,))
    assert glass_of(calculate(tmp_path, DAY, quiet)).layout is not None
    planned_studio(tmp_path, faces="no")
    assert glass_of(calculate(tmp_path, DAY, quiet)).out_of_date
    # Nor is one that says so in its pieces alone.
    keep_by_hand(tmp_path, downs=(1,))
    assert glass_of(calculate(tmp_path, DAY, quiet)).out_of_date
