"""A pattern sheet is true to scale on paper, and what a maker reads on it and in its list is the pattern's own."""

from __future__ import annotations

import re
from collections import Counter
from itertools import pairwise
from pathlib import Path
from typing import Literal

import numpy as np
import pytest
from shapely import LineString, Point

from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.pattern_sheet import pattern_sheet
from catalog_builder.publish.sheets.line_drawing import draw_lines
from catalog_builder.publish.sheets.tiles import FOOT_MM, HEAD_MM, MARGIN_MM, OVERLAP_MM
from catalog_builder.records.content import Content
from tests import studio
from tests.publish.bench.writing import writer_of
from tests.publish.demo import Demo
from tests.publish.page import read_page, said
from tests.publish.printed import DOTS_A_MM, Printed, Stroke, pages_of

# What a printer at home and a rule at the bench can tell apart.
RULE_MM = 0.2
# The widths in which the theme draws a rim, a seam and a wire.
RIM_MM, SEAM_MM, WIRE_MM = 0.34, 0.22, 1.0
CROSS_MM = 1.5

Paper = Literal["A4", "Letter"]
Sheets = list[tuple[VariantCalculation, FlatPart, Path]]
# ISO 216, and ANSI/ASME Y14.1 in inches (both from memory): width and height in mm.
SHEETS: dict[Paper, tuple[float, float]] = {"A4": (210, 297), "Letter": (8.5 * 25.4, 11 * 25.4)}


def read(root: Path, width: int, paper: Paper = "A4", drawing: str = studio.PANE + studio.PANE_RING) -> Content:
    """A studio whose one product, 100 to 60 in its proportions, is so wide, and which prints on a paper."""
    box = 'viewBox="0 0 100 60"'
    text = studio.record(drawing, box, keys=f"width: {width} mm")
    table = studio.TABLES["studio"] + f'paper = "{paper}"\n'
    tables = {"studio": table, "hanging": "safety_factor = 1"}
    return studio.content(root, text, tables)


def sheet_of(content: Content, one: VariantCalculation | None = None) -> bytes:
    """The pattern sheet of a studio's first variant."""
    one = one or studio.calculations(content)[0]
    writer = writer_of(content)
    return pattern_sheet(content.materials.rows, one.product, one.assembled, one.made.main, writer)


def drawings(pages: list[Printed]) -> list[Printed]:
    """The pages that show the drawing: those before the list."""
    return [page for page in pages if any(is_width(stroke, RIM_MM) for stroke in page.strokes)]


def is_width(stroke: Stroke, *widths: float) -> bool:
    """Whether a line is drawn in one of some widths."""
    return any(abs(stroke.width - width) < 0.01 for width in widths)


def outline(page: Printed) -> tuple[float, float, float, float]:
    """The box of rims and wires on a page, whether they are seen or cut off at the tile's edge."""
    shown = [stroke for stroke in page.strokes if is_width(stroke, RIM_MM, WIRE_MM) and not is_sample(stroke)]
    boxes = np.array([stroke.box for stroke in shown])
    left, top = boxes[:, :2].min(axis=0).tolist()
    right, bottom = boxes[:, 2:].max(axis=0).tolist()
    return left, top, right, bottom


def is_sample(stroke: Stroke) -> bool:
    """Whether a line is not the drawing's but the key's: a level one of 8.5 mm."""
    left, top, right, bottom = stroke.box
    return len(stroke.points) == 2 and bottom == top and abs(right - left - 8.5) < 0.01


def bars(page: Printed) -> list[float]:
    """The lengths of the check bars on a page."""
    return [stroke.box[2] - stroke.box[0] for stroke in page.strokes if is_bar(stroke, page)]


def is_bar(stroke: Stroke, page: Printed) -> bool:
    """Whether a line is level and stands at the foot of a page in the bar's width of line."""
    _, top, _, bottom = stroke.box
    at_foot = top > page.height - MARGIN_MM - FOOT_MM
    return at_foot and is_width(stroke, 0.25) and len(stroke.points) == 2 and bottom - top < 0.01


def crosses(page: Printed) -> set[tuple[float, float]]:
    """The middles of the register marks on a page, as places of the drawing: from the outline's corner."""
    left, top, _, _ = outline(page)
    boxes = [stroke.box for stroke in page.strokes if stroke.curved and is_width(stroke, 0.15)]
    assert all(abs(right - x - 2 * CROSS_MM) < 0.01 for x, _, right, _ in boxes)
    return {(round(x + CROSS_MM - left, 1), round(y + CROSS_MM - top, 1)) for x, y, _, _ in boxes}


def drawn_numbers(page: Printed) -> Counter[str]:
    """The numbers and letters on a page's drawing, without the words at its joins."""
    top, bottom = MARGIN_MM + HEAD_MM, page.height - MARGIN_MM - FOOT_MM
    return Counter(text for text, _, y in page.runs if top < y < bottom and " " not in text)


@pytest.fixture(scope="module")
def demo_sheets(demo: Demo) -> Sheets:
    """Each flat part of each size of each product of the demo, with its sheet; tests read them."""
    sheets: dict[Path, tuple[VariantCalculation, FlatPart]] = {}
    # All variants of a size have the same parts, which take long to lay flat.
    sizes = {(one.product.slug, one.size): one for one in reversed(demo.calculations)}
    for one in reversed(sizes.values()):
        for flat in one.made.flats:
            name = "--".join(word for word in (one.product.slug, one.size, flat.name) if word)
            sheets[demo.output / "bench" / "patterns" / f"{name}.pdf"] = (one, flat)
    assert set(sheets) == set((demo.output / "bench" / "patterns").iterdir())
    # Where all edges of a flat meet others, or lie in a frame, none is drawn as a rim.
    return [(one, flat, path) for path, (one, flat) in sheets.items() if len(flat.edges.rims)]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("width", [60, 180, 300])
def test_bar_and_outline_are_true(tmp_path: Path, paper: Paper, width: int) -> None:
    """The check bar is 50 mm and the outline is the finished size, on either paper and at any size."""
    content = read(tmp_path, width, paper)
    pages = drawings(pages_of(sheet_of(content)))
    assert pages
    for page in pages:
        left, top, right, bottom = outline(page)
        assert (right - left, bottom - top) == pytest.approx((width, width * 0.6), abs=RULE_MM)
        assert bars(page) == pytest.approx([50], abs=RULE_MM)
        assert sorted((page.width, page.height)) == pytest.approx(SHEETS[paper], abs=0.1)


def test_bar_is_true_in_ink(tmp_path: Path) -> None:
    """The bar between its two end strokes is 50 mm of ink, measured on the page as it is printed."""
    (page, *_) = pages_of(sheet_of(read(tmp_path, 60)))
    (bar,) = (stroke.box for stroke in page.strokes if is_bar(stroke, page))
    row = page.ink[round(bar[1] * DOTS_A_MM), : round(page.width / 3 * DOTS_A_MM)]
    (columns,) = np.nonzero(row)
    # The end strokes stand half their 0.25 mm out on either side.
    assert (columns[-1] - columns[0] + 1) / DOTS_A_MM == pytest.approx(50.25, abs=RULE_MM)


def test_every_sheet_of_the_demo_is_true(demo_sheets: Sheets) -> None:
    """Each product, size and part has a sheet, whose outline with its wires is the finished size, on every page."""
    sheets = demo_sheets
    assert len(sheets) > 40
    for _, flat, path in sheets:
        if len(flat.joined) and np.ptp(flat.edges.rims.reshape(-1, 2), axis=0).min() < 1:
            continue  # a wall: all but its upper edge meets others
        for page in drawings(pages_of(path.read_bytes())):
            left, top, right, bottom = outline(page)
            x, y, u, v = flat.box
            wanted = (u - x, v - y)
            assert (right - left, bottom - top) == pytest.approx(wanted, abs=RULE_MM), path.name
            assert bars(page) == pytest.approx([50], abs=RULE_MM), path.name


def test_nothing_is_printed_in_the_margin(demo_sheets: Sheets) -> None:
    """No page has ink within 10 mm of its edge, where home printers cannot reach."""
    for *_, path in demo_sheets:
        for number, page in enumerate(pages_of(path.read_bytes()), 1):
            edge = page.ink.copy()
            edge[100:-100, 100:-100] = False
            assert not edge.any(), f"{path.name}, page {number}"


def test_every_number_stands_once_on_the_drawing_and_once_in_the_list(demo_sheets: Sheets) -> None:
    """Where one page shows the whole, each piece's number is on it once; the list has a row for each, in order."""
    whole = 0
    for _, flat, path in demo_sheets:
        pages = pages_of(path.read_bytes())
        shown = drawings(pages)
        numbers = [cut.number for cut in flat.cuts]
        sides = ["L", "R"] if flat.pattern.fold is not None else []
        if len(shown) == 1:
            assert drawn_numbers(shown[0]) == Counter([*numbers, *sides]), path.name
            whole += 1
        words = "|".join(sorted({cut.glass for cut in flat.cuts}))
        listed = "\n".join(page.text() for page in pages[len(shown) :])
        assert re.findall(rf"^(\d+[LR]?) (?:{words}) ", listed, re.MULTILINE) == numbers, path.name
    assert whole > 20


def test_the_list_tells_each_piece(tmp_path: Path) -> None:
    """A row names the glass in every choice, the box along and across the grain in mm, and the area in cm²."""
    glass = "{left: reed, right: slate}\n  other:\n    title: Other\n    pieces: {left: slate, right: slate}"
    text = studio.record(glass=glass, keys="grain: 0").replace("plain:", "plain:\n    title: Plain", 1)
    content = studio.content(tmp_path, text)
    listed = pages_of(sheet_of(content))[-1].text()
    # Each half is 50 by 60 mm, less 0.4 mm at the seam: half the foil gap.
    assert "1 left reed slate 49.6 × 60.0 29.8" in listed
    assert "2 right slate slate 49.6 × 60.0 29.8" in listed
    assert "reed 1 29.8 1" in listed
    assert "slate 2 59.5 1, 2" in listed


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_tiles_laid_together_show_the_whole(tmp_path: Path, paper: Paper) -> None:
    """Every bit of rim and seam is printed on a sheet at its true place; laid together the sheets lack nothing."""
    pages = drawings(pages_of(sheet_of(read(tmp_path, 400, paper))))
    assert len(pages) > 2
    lines = [LineString([(0, 0), (400, 0), (400, 240), (0, 240), (0, 0)]), LineString([(200, 0), (200, 240)])]
    for line in lines:
        for along in np.arange(0.0, line.length, 0.5):
            spot = line.interpolate(along)
            assert shown_on(pages, spot), f"nothing is printed at {spot}"


def shown_on(pages: list[Printed], spot: Point) -> list[int]:
    """The pages on which a place of the drawing is printed."""
    corners = [outline(page)[:2] for page in pages]
    return [
        index
        for index, (page, (left, top)) in enumerate(zip(pages, corners, strict=True))
        if MARGIN_MM <= left + spot.x <= page.width - MARGIN_MM
        and MARGIN_MM + HEAD_MM <= top + spot.y <= page.height - MARGIN_MM - FOOT_MM
        and page.inked((left + spot.x, top + spot.y))
    ]


def test_tiles_overlap_by_what_they_say(tmp_path: Path) -> None:
    """The upper rim is printed twice over exactly the overlap that the sheets name."""
    pages = drawings(pages_of(sheet_of(read(tmp_path, 300))))
    assert len(pages) == 2
    said_mm = re.search(r"overlap by (\d+) mm", pages[0].text())
    assert said_mm is not None
    twice = [x for x in np.arange(0, 300, 0.1) if len(shown_on(pages, Point(x, 0))) == 2]
    assert len(twice) / 10 == pytest.approx(float(said_mm[1]), abs=2 * RULE_MM)
    assert float(said_mm[1]) == OVERLAP_MM
    assert max(after - before for before, after in pairwise(twice)) == pytest.approx(0.1)


def test_register_marks_meet(tmp_path: Path) -> None:
    """A sheet shares three register marks or more with each neighbour, at the same places of the drawing."""
    pages = drawings(pages_of(sheet_of(read(tmp_path, 400))))
    by_place = {}
    for page in pages:
        place = re.search(r"Row (\d+), column (\d+)", page.text(0, MARGIN_MM + HEAD_MM))
        assert place is not None
        by_place[int(place[1]), int(place[2])] = crosses(page)
    pairs = [
        (one, other)
        for one in by_place
        for other in by_place
        if (other[0] - one[0], other[1] - one[1]) in ((0, 1), (1, 0))
    ]
    assert len(pairs) >= 3
    for one, other in pairs:
        assert len(by_place[one] & by_place[other]) >= 3, f"{one} and {other}"


def test_every_number_stands_whole_on_a_tile(tmp_path: Path) -> None:
    """A number that lies in an overlap stands on both sheets; none is cut through or lacks on all."""
    lines = "".join(f'<line x1="{x}" y1="0" x2="{x}" y2="60"/>' for x in range(5, 100, 5))
    text = f'<rect width="100" height="60" data-glass="left"/>{lines}'
    ring = '<circle data-mark="ring" cx="50" cy="0" r="1"/>'
    glass = "{left: reed}"
    record = studio.record(text + ring, 'viewBox="0 0 100 60"', glass, "width: 500 mm")
    content = studio.content(tmp_path, record, {"hanging": "safety_factor = 1"})
    pages = drawings(pages_of(sheet_of(content)))
    counted = sum((drawn_numbers(page) for page in pages), Counter[str]())
    assert set(counted) == {str(number) for number in range(1, 21)}
    assert len(pages) > 2


def test_each_piece_of_grained_glass_has_its_arrow(demo: Demo, demo_sheets: Sheets) -> None:
    """An arrow lies in every piece whose glass of the first choice has grain, along that grain, and in no other."""
    seen = 0
    for one, flat, path in demo_sheets:
        rows = demo.calculated.content.materials.rows
        choice = next(iter(one.product.keys.glass.values())).pieces
        grained = {word for word, name in choice.items() if rows[name].has_grain}
        drawing = draw_lines(flat, one.suspension, grained)
        rims = np.concatenate([np.array(line) for line in drawing.rims])
        left, top = flat.edges.rims.reshape(-1, 2).min(axis=0) - rims.min(axis=0)
        for cut in flat.cuts:
            tips = [(arrow, Point(arrow.tip[0] + left, arrow.tip[1] + top)) for arrow in drawing.arrows]
            mine = [arrow for arrow, tip in tips if cut.shape.contains(tip)]
            assert bool(mine) == (cut.glass in grained), f"{path.name}: {cut.number}"
            for arrow in mine:
                way = np.degrees(np.arctan2(arrow.begin[1] - arrow.tip[1], arrow.tip[0] - arrow.begin[0]))
                assert abs((way - cut.grain + 90) % 180 - 90) < 1.0, f"{path.name}: {cut.number}"
                seen += 1
    assert seen > 100


def test_the_fold_is_drawn_between_its_two_sides(demo_sheets: Sheets) -> None:
    """The fold line runs through the middle of a folded pattern and out of it, L on its left and R on its right."""
    folded = 0
    for _, flat, path in demo_sheets:
        (page, *_) = drawings(pages_of(path.read_bytes()))
        if flat.pattern.fold is None or len(drawings(pages_of(path.read_bytes()))) > 1:
            continue
        left, top, right, bottom = outline(page)
        middle = (left + right) / 2
        (fold,) = [s.box for s in page.strokes if is_width(s, 0.18) and s.box[1] < top - 3 and s.box[3] > bottom + 3]
        assert (fold[0], fold[2]) == pytest.approx((middle, middle), abs=RULE_MM), path.name
        sides = {text: x for text, x, _ in page.runs if text in ("L", "R")}
        assert sides["L"] < middle - 2 < middle + 2 < sides["R"], path.name
        folded += 1
    assert folded > 5


def test_the_key_names_what_is_drawn(demo: Demo, demo_sheets: Sheets) -> None:
    """The key at a drawing's foot names the fold line, wires and grain where there are any, and not elsewhere."""
    rows = demo.calculated.content.materials.rows
    for one, flat, path in demo_sheets:
        (page, *_) = pages_of(path.read_bytes())
        key = page.text(page.height - MARGIN_MM - FOOT_MM).split()
        first = next(iter(one.product.keys.glass.values()))
        assert ("fold" in key) == (flat.pattern.fold is not None), path.name
        assert ("wire" in key) == bool(flat.pattern.wires), path.name
        assert ("grain" in key) == any(rows[name].has_grain for name in first.pieces.values()), path.name


def test_caution_stands_on_every_page(demo_sheets: Sheets) -> None:
    """Every page says to grind wet, guard the eyes, mind fumes and lead, and who decides; and which page it is."""
    for *_, path in demo_sheets:
        pages = pages_of(path.read_bytes())
        for number, page in enumerate(pages, 1):
            words = " ".join(page.text().split())
            for word in ("Grind wet", "eye protection", "fumes", "lead", "Local rules and a qualified person decide"):
                assert word in words, f"{path.name}, page {number}: {word}"
            assert f"Page {number} of {len(pages)}" in words


def test_fonts_are_embedded(demo_sheets: Sheets) -> None:
    """Every font of a sheet travels in it, so that it prints the same everywhere."""
    *_, path = demo_sheets[0]
    data = path.read_bytes()
    assert data.count(b"/FontDescriptor") > 0
    assert b"Ysabeau" in data
    assert len(re.findall(rb"/FontFile[23]? \d+ 0 R", data)) == len(re.findall(rb"/Type\s*/FontDescriptor", data)) > 0


def test_same_content_gives_the_same_bytes(tmp_path: Path) -> None:
    """A sheet made twice is the same to the byte; a piece a millimetre wider gives another."""
    content = read(tmp_path, 300)
    assert sheet_of(content) == sheet_of(content)
    assert sheet_of(content) != sheet_of(read(tmp_path, 301))


def test_bench_lists_every_sheet(demo: Demo, demo_sheets: Sheets) -> None:
    """The bench's first page leads to each sheet once."""
    index = demo.output / "bench" / "index.html"
    links = [said(link, "href") for link in read_page(index).select('a[href$=".pdf"][href^="patterns/"]')]
    sheets = [f"patterns/{path.name}" for path in (demo.output / "bench" / "patterns").iterdir()]
    assert sorted(links) == sorted(sheets)
    assert len(sheets) > len(demo_sheets) > 0
