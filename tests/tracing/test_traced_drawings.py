"""From a scan to the program's own pieces: counts, sizes, halves, scales, and what is told."""

from __future__ import annotations

from io import BytesIO
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from shapely import Polygon

from catalog_builder.mistake import MistakeError
from catalog_builder.pattern.faces import faces_of
from catalog_builder.pattern.svg.drawing import read_drawing
from catalog_builder.pattern.unfolding import unfold
from catalog_builder.records.reading.source import Source
from catalog_builder.tracing.trace_options import TraceOptions, read_trace_options
from catalog_builder.tracing.traced_drawing import drawing_of
from tests.tracing.example_scan import EXAMPLE, drawing_text
from tests.tracing.paper_sheets import Line, rectangle, ring, save_scan, sheet

WINDOW: list[Line] = [rectangle(20, 20, 80, 100), [(20, 60), (80, 60)], [(50, 20), (50, 60)]]


def pieces_of(svg: str) -> list[Polygon]:
    """The pieces that the program finds in a drawing, unfolded, the largest first; there is nothing wrong with it."""
    unfolded = unfold(read_drawing(Source("drawing.svg", svg)), 1.0, 0.01, 0.3)
    faces, flaws = faces_of(unfolded.outlines, unfolded.lines, 0.3, 0.8)
    assert [*unfolded.flaws, *flaws] == []
    return sorted(faces, key=lambda face: -face.area)


def test_a_window_of_three_panes_is_traced_true_to_size(tmp_path: Path) -> None:
    """Three rectangles of known sides are three pieces of their areas, to 0.3 %."""
    traced = drawing_of(save_scan(tmp_path / "window.png", WINDOW), TraceOptions())
    assert (traced.width_mm, traced.height_mm) == pytest.approx((60, 80), abs=0.05)
    assert [piece.area for piece in pieces_of(traced.svg)] == pytest.approx([2400, 1200, 1200], rel=0.003)
    assert [field.number for field in traced.fields] == [1, 2, 3]
    assert traced.pen_mm == pytest.approx(1.2, abs=0.1)
    assert traced.findings == ()
    assert (traced.scale.by, traced.scale.text) == ("dpi", "the scan has 254 dots per inch, as the file says")


def test_the_same_picture_gives_the_same_bytes(tmp_path: Path) -> None:
    """Tracing is by no chance."""
    path = save_scan(tmp_path / "window.png", WINDOW)
    first, second = (drawing_of(path, TraceOptions()) for _ in range(2))
    assert (first.svg, first.picture) == (second.svg, second.picture)


def test_the_picture_for_the_eye_is_a_picture_of_the_page(tmp_path: Path) -> None:
    """It is as large as the SVG's page, at six pixels for each mm, and in colour."""
    traced = drawing_of(save_scan(tmp_path / "window.png", WINDOW), TraceOptions())
    with Image.open(BytesIO(traced.picture)) as picture:
        assert picture.size == pytest.approx((70 * 6, 90 * 6), abs=2)
        assert np.ptp(np.asarray(picture).astype(int), axis=2).max() > 100


@pytest.mark.parametrize(
    ("options", "by", "width"),
    [
        ({"dpi": "254"}, "dpi", 60.0),
        ({"dpi": "127"}, "dpi", 120.0),
        ({"width": "120mm"}, "width", 120.0),
        ({"paper": "100x120"}, "paper", 60.0),
        ({"paper": "100x120", "width": "61 mm"}, "width", 61.0),
    ],
)
def test_the_scale_is_what_was_said(tmp_path: Path, options: dict[str, str], by: str, width: float) -> None:
    """By dots per inch, by a width, by the sheet that fills the scan; a width goes before the sheet."""
    traced = drawing_of(save_scan(tmp_path / "window.png", WINDOW), read_trace_options(**options))
    assert traced.scale.by == by
    assert traced.width_mm == pytest.approx(width, abs=0.1)
    assert traced.scale.sure_mm > 0


def test_without_a_scale_the_ways_to_give_one_are_told(tmp_path: Path) -> None:
    """A picture that says nothing of its size is not guessed at."""
    path = tmp_path / "window.png"
    Image.fromarray(sheet(WINDOW)).save(path)
    with pytest.raises(MistakeError, match="nothing says how large the drawing is"):
        drawing_of(path, TraceOptions())


HALF: list[Line] = [[(80, 20), (30, 40), (30, 80), (80, 100)], [(30, 60), (80, 60)]]


@pytest.mark.parametrize(("half", "turns"), [("left", 0), ("bottom", 1), ("right", 2), ("top", 3)])
def test_a_half_unfolds_on_each_side(tmp_path: Path, half: str, turns: int) -> None:
    """Pieces on the fold are one, whichever side of the fold is drawn; the outline is 100 mm across the fold."""
    path = tmp_path / "half.png"
    Image.fromarray(np.rot90(sheet(HALF), turns)).save(path, dpi=(254, 254))
    traced = drawing_of(path, read_trace_options(half=half))
    across, along = (
        (traced.width_mm, traced.height_mm) if half in ("left", "right") else (traced.height_mm, traced.width_mm)
    )
    assert (across, along) == pytest.approx((100, 80), abs=0.4)
    # Each half piece is a trapezium of 50 mm between sides of 20 and 40 mm.
    assert [piece.area for piece in pieces_of(traced.svg)] == pytest.approx([3000, 3000], rel=0.01)


def test_a_line_along_the_fold_parts_the_pieces_on_it(tmp_path: Path) -> None:
    """With a line along the fold, every piece has its mirror image beside it."""
    path = save_scan(tmp_path / "half.png", [*HALF, [(80, 20), (80, 100)]])
    assert len(pieces_of(drawing_of(path, read_trace_options(half="left")).svg)) == 4


def test_the_examples_scan_is_the_examples_drawing() -> None:
    """The scan that `begin` lays out traces to the pieces that its record draws."""
    traced = drawing_of(EXAMPLE / "on_paper.png", read_trace_options(half="right"))
    truth = pieces_of(drawing_text())
    assert [piece.area for piece in pieces_of(traced.svg)] == pytest.approx([piece.area for piece in truth], rel=0.01)


def test_a_wide_gap_is_told_where_two_fields_run_into_one(tmp_path: Path) -> None:
    """A line that ends 4 mm short is a doubt at its end, on the page's mm, and ringed in the picture."""
    lines: list[Line] = [rectangle(20, 20, 80, 100), [(20, 60), (74, 60)]]
    traced = drawing_of(save_scan(tmp_path / "gap.png", lines), TraceOptions())
    (finding,) = traced.findings
    assert (finding.kind, finding.doubt) == ("gap open", True)
    assert finding.at == pytest.approx((74 - 20 + 5, 60 - 20 + 5), abs=1)
    assert "short of the next one, too wide to close: two fields run into one" in finding.text


def test_a_small_gap_is_closed_and_said(tmp_path: Path) -> None:
    """A line that ends 2 mm short is closed, which is no doubt."""
    lines: list[Line] = [rectangle(20, 20, 80, 100), [(20, 60), (77, 60)]]
    traced = drawing_of(save_scan(tmp_path / "gap.png", lines), TraceOptions())
    assert [(finding.kind, finding.doubt) for finding in traced.findings] == [("gap closed", False)]
    assert len(traced.fields) == 2


def test_islands_open_ends_and_free_marks_are_told(tmp_path: Path) -> None:
    """A shape inside a field, a line that ends in the open and a long arrow are each named."""
    lines: list[Line] = [
        rectangle(10, 10, 90, 110),
        ring((30, 40), 10),
        [(10, 80), (40, 80)],
        [(60, 30), (60, 48)],
    ]
    traced = drawing_of(save_scan(tmp_path / "marks.png", lines), TraceOptions())
    assert {finding.kind for finding in traced.findings} == {"island", "open end", "left out"}
    assert len(traced.fields) == 2
    assert traced.left_out == 1


def test_a_line_drawn_twice_is_told(tmp_path: Path) -> None:
    """Two strokes side by side are traced in their middle, and told."""
    lines: list[Line] = [rectangle(20, 20, 80, 100), [(20, 60), (80, 60)], [(30, 61), (70, 61)]]
    traced = drawing_of(save_scan(tmp_path / "twice.png", lines), TraceOptions())
    assert [finding.kind for finding in traced.findings] == ["double line"]
    assert len(traced.fields) == 2


def test_many_lines_that_come_together_meet_in_one_point(tmp_path: Path) -> None:
    """The ribs of a fan run into one blot of ink, and are led on to the one point where they meet."""
    rim = [(50 + 40 * float(np.cos(a)), 100 - 70 * float(np.sin(a))) for a in np.linspace(0.25, np.pi - 0.25, 9)]
    lines: list[Line] = [*([(50.0, 100.0), end] for end in rim), rim]
    traced = drawing_of(save_scan(tmp_path / "fan.png", lines), TraceOptions())
    assert len(traced.fields) == 8
    truth = sorted((Polygon([(50, 100), *pair]).area for pair in pairwise(rim)), reverse=True)
    assert [piece.area for piece in pieces_of(traced.svg)] == pytest.approx(truth, rel=0.01)


@pytest.mark.parametrize("pen_mm", [0.7, 2.5])
def test_a_blot_wider_than_any_line_is_ink_and_its_lines_meet_in_one_point(tmp_path: Path, pen_mm: float) -> None:
    """Seventeen ribs of a wide pen fuse into a disc of 13 mm; none of it is paper, and all fields reach its middle."""
    turns = np.linspace(0, 2 * np.pi, 17, endpoint=False)
    rim = [(50 + 45 * float(np.cos(turn)), 60 + 45 * float(np.sin(turn))) for turn in turns]
    lines: list[Line] = [[*rim, rim[0]], *([(50.0, 60.0), end] for end in rim)]
    traced = drawing_of(save_scan(tmp_path / "wheel.png", lines, pen_mm=pen_mm), TraceOptions())
    truth = Polygon([(50, 60), *rim[:2]]).area
    assert [piece.area for piece in pieces_of(traced.svg)] == pytest.approx([truth] * 17, rel=0.005)
    assert traced.findings == ()


@pytest.mark.parametrize(
    ("lines", "options", "wrong"),
    [
        ([], {}, "no lines were found on the sheet"),
        ([[(20, 60), (80, 60)]], {}, "the lines enclose no field"),
        ([[(50, 60), (55, 60)]], {}, "no line is longer than a number or an arrow"),
    ],
)
def test_what_cannot_be_traced_is_refused(
    tmp_path: Path, lines: list[Line], options: dict[str, str], wrong: str
) -> None:
    """A sheet without a closed line is a mistake with words to mend it."""
    with pytest.raises(MistakeError, match=wrong):
        drawing_of(save_scan(tmp_path / "bad.png", lines), read_trace_options(**options))
