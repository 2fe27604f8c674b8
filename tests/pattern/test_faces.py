"""Faces: what closed outlines and line work enclose, and how far lines may miss each other."""

from __future__ import annotations

import pytest

from catalog_builder.mistake import MistakeError
from tests.drawn import drawn, polygon, square

FRAME = '<rect width="100" height="60"/>'


@pytest.mark.parametrize("ends", [(0, 60), (0.25, 59.8), (-0.25, 60.2), (-0.29, 60.29), (0.1, 60.25)])
def test_ends_that_miss(ends: tuple[float, float]) -> None:
    """A line whose ends fall short, or run over, by under 0.3 mm parts the glass all the same."""
    drawing = drawn(f'{FRAME}<line x1="40" y1="{ends[0]}" x2="40" y2="{ends[1]}"/>')
    assert sorted(drawing.areas.values()) == pytest.approx([2400, 3600])
    assert drawing.edges.seam_mm == pytest.approx(60)
    assert drawing.edges.rim_mm == pytest.approx(320)


@pytest.mark.parametrize(
    ("line", "message"),
    [
        (
            '<line x1="40" y1="0.5" x2="40" y2="60"/>',
            r"it misses the next one by 0\.50 mm, at x 40\.0, y 0\.5",
        ),
        (
            '<line x1="40" y1="0" x2="40" y2="30"/>',
            r"meets no other line: nothing is near it, at x 40\.0, y 30\.0 (?s:.*) if it is a wire soldered onto the "
            'glass, mark it data-mark="wire"',
        ),
        (
            '<line x1="0" y1="20" x2="100" y2="20"/><line x1="40" y1="0" x2="40" y2="32"/>',
            r"a line runs 12\.0 mm over the line that it crosses, and meets no other, at x 40\.0, y 20\.0 ",
        ),
        (
            '<line x1="0" y1="20" x2="100" y2="20"/><line x1="10" y1="0" x2="50" y2="23.2"/>',
            r"a line runs 6\.4 mm over the line that it crosses, and meets no other, at x 44\.5, y 20\.0 ",
        ),
        (
            '<line x1="0" y1="57" x2="100" y2="57"/><line x1="40" y1="0" x2="40" y2="59"/>',
            r"it misses the next one by 1\.00 mm, at x 40\.0, y 59\.0",
        ),
    ],
)
def test_a_gap_in_the_line_work(line: str, message: str) -> None:
    """A gap in the line work is a mistake of one line; the message has its width and its place."""
    with pytest.raises(MistakeError, match=message) as caught:
        drawn(FRAME + line)
    assert len(caught.value.mistakes) == 1


@pytest.mark.parametrize("over", [0.2, 0.5, 1.5, 2.9])
@pytest.mark.parametrize("edge", [20, 60], ids=["a line", "the frame"])
def test_a_line_that_runs_over_another_is_cut_off(edge: float, over: float) -> None:
    """Up to 3 mm that a line runs over the one that it ends on part nothing; the pieces are those without them."""
    level = '<line x1="0" y1="20" x2="100" y2="20"/>'
    overrun = drawn(f'{FRAME}{level}<line x1="40" y1="0" x2="40" y2="{edge + over}"/>')
    exact = drawn(f'{FRAME}{level}<line x1="40" y1="0" x2="40" y2="{edge}"/>')
    assert overrun.areas == pytest.approx(exact.areas)
    assert overrun.edges.seam_mm == pytest.approx(exact.edges.seam_mm)


def test_only_the_line_with_the_open_end_is_named() -> None:
    """Lines that an open end makes loose are right: one end is open here, and of three lines one is named."""
    body = '<line x1="40" y1="0" x2="40" y2="20"/>\n<line x1="40" y1="20" x2="60" y2="40"/>\n<path d="M60,40 L70,52"/>'
    with pytest.raises(MistakeError) as caught:
        drawn(f"{FRAME}\n{body}")
    assert [mistake.place.line for mistake in caught.value.mistakes] == [5]


def test_crossed_lines_within_a_piece_part_nothing() -> None:
    """Two short lines across each other in the open are no overruns: they are named."""
    with pytest.raises(MistakeError, match="parts nothing: glass lies on both sides"):
        drawn(FRAME + '<path d="M40,30 h4"/><path d="M42,28 v4"/>')


def test_hair_beside_a_corner() -> None:
    """A line that meets the frame a hair beside another line's end makes no crumb of glass between them."""
    drawing = drawn(FRAME + '<line x1="40" y1="0" x2="40" y2="60"/><line x1="40.02" y1="0" x2="100" y2="60"/>')
    assert len(drawing.pattern.pieces) == 3
    assert drawing.area == pytest.approx(6000, abs=0.1)
    assert drawing.borders == pytest.approx(2 * drawing.edges.seam_mm + drawing.edges.rim_mm)


@pytest.mark.parametrize("overlap", [0.02, 0.1, 0.25])
def test_overlap(overlap: float) -> None:
    """Two outlines drawn over each other by under 0.3 mm share one seam, and no glass is counted twice."""
    drawing = drawn(square(0, 0, 40).outline + square(40 - overlap, 0, 40).outline)
    assert drawing.edges.seam_mm == pytest.approx(40, rel=5e-3)
    assert drawing.area == pytest.approx(40 * (80 - overlap))
    assert drawing.edges.rim_mm == pytest.approx(240 - 2 * overlap, rel=5e-3)


@pytest.mark.parametrize("gap", [0.02, 0.1, 0.25, 0.4, 0.8])
def test_outlines_apart(gap: float) -> None:
    """Two outlines drawn up to the foil gap apart share a seam; it is not counted as two rims.

    Common practice, no source: outlines seldom meet to the last digit, and some draw the glass as it is cut.
    """
    sill = polygon([(0, 40), (80 + gap, 40), (80 + gap, 60), (0, 60)])
    drawing = drawn(square(0, 0, 40).outline + square(40 + gap, 0, 40).outline + sill.outline)
    assert drawing.edges.seam_mm == pytest.approx(40 + 80 + gap, rel=5e-3)
    assert drawing.edges.rim_mm == pytest.approx(280 + 2 * gap, rel=5e-3)


@pytest.mark.parametrize("gap", [0.02, 0.1, 0.25, 0.8])
def test_gap_all_round(gap: float) -> None:
    """A piece set into another with a hair's gap all round shares its whole border with it as seam."""
    hole = f"M0,0 H80 V80 H0 Z M{20 - gap},{20 - gap} V{60 + gap} H{60 + gap} V{20 - gap} Z"
    drawing = drawn(f'<path d="{hole}"/>' + square(20, 20, 40).outline)
    assert drawing.edges.seam_mm == pytest.approx(160, rel=0.02)
    assert drawing.edges.rim_mm == pytest.approx(320)
    assert drawing.area == pytest.approx(6400)


def test_outline_in_outline() -> None:
    """An outline drawn inside another is a piece of its own, and the outer one has a hole there."""
    drawing = drawn(
        '<rect width="90" height="90"/><rect x="20" y="20" width="50" height="50"/><circle cx="45" cy="45" r="10"/>'
    )
    areas = sorted(drawing.areas.values())
    assert areas == pytest.approx([314.16, 2500 - 314.16, 8100 - 2500], rel=2e-3)
    assert drawing.edges.rim_mm == pytest.approx(360)


def test_mixed_habits() -> None:
    """Closed outlines and open lines are read together: a closed piece set into a field that lines cut up."""
    drawing = drawn(
        FRAME + '<circle cx="50" cy="30" r="10"/><line x1="50" y1="0" x2="50" y2="20"/><path d="M50,40 V60"/>'
    )
    assert len(drawing.pattern.pieces) == 3
    assert drawing.area == pytest.approx(6000, rel=1e-6)
    assert drawing.edges.seam_mm == pytest.approx(62.83 + 40, rel=1e-3)


def test_crossing_lines() -> None:
    """Two lines that cross part a pane in four, and meet in one joint."""
    drawing = drawn(FRAME + '<line x1="40" y1="0" x2="40" y2="60"/><line x1="0" y1="20" x2="100" y2="20"/>')
    assert sorted(drawing.areas.values()) == pytest.approx([800, 1200, 1600, 2400])
    assert len(drawing.edges.joints) == 5


@pytest.mark.parametrize(
    "second",
    [square(39.4, 0, 40).outline, '<circle cx="34" cy="20" r="10"/>'],
    ids=["by 0.6 mm", "a disc that sticks out by 4 mm"],
)
def test_outlines_that_overlap(second: str) -> None:
    """Outlines that overlap by more than lines may miss by are a mistake: either piece could have that glass."""
    with pytest.raises(MistakeError, match="two outlines overlap, by about"):
        drawn(square(0, 0, 40).outline + second)


@pytest.mark.parametrize("rule", ["nonzero", "evenodd"])
@pytest.mark.parametrize("gap", [-0.1, 0, 0.5, 10])
def test_outlines_combined_into_one_path(rule: str, gap: float) -> None:
    """Outlines that lie side by side stay pieces of their own where a drawing program has combined them in one path."""
    squares = [square((20 + gap) * x, (20 + gap) * y, 20) for x in range(2) for y in range(2)]
    runs = " ".join(f"M{contour.start} {' '.join(contour.commands)} Z" for contour in squares)
    combined = drawn(f'<path fill-rule="{rule}" d="{runs}"/>')
    apart = drawn("".join(contour.outline for contour in squares))
    assert sorted(combined.areas.values()) == pytest.approx(sorted(apart.areas.values()))
    assert combined.edges.seam_mm == pytest.approx(apart.edges.seam_mm)
    assert len(combined.pattern.pieces) == 4


@pytest.mark.parametrize(
    ("rule", "inner", "areas"),
    [
        ("nonzero", "M20,20 h20 v20 h-20 z", [400, 3200]),
        ("nonzero", "M20,20 v20 h20 v-20 z", [3200]),
        ("evenodd", "M20,20 h20 v20 h-20 z", [3200]),
        ("evenodd", "M20,20 h20 v20 h-20 z M25,25 h10 v10 h-10 z", [100, 3200]),
    ],
)
def test_a_run_inside_another(rule: str, inner: str, areas: list[float]) -> None:
    """A run inside another is a hole where the fill rule leaves it empty, and a piece of its own where it does not.

    Source: SVG 2, chapter 13, on the two fill rules.
    """
    drawing = drawn(f'<path fill-rule="{rule}" d="M0,0 h60 v60 h-60 z {inner}"/>')
    assert sorted(drawing.areas.values()) == pytest.approx(areas)
