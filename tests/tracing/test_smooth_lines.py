"""Lines become curves: the pen's middle, corners, junctions, few curves, and the text of the SVG."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from catalog_builder.mistake import Place
from catalog_builder.pattern.svg.drawing import read_drawing
from catalog_builder.records.reading.source import Source
from catalog_builder.tracing.arrays import Points
from catalog_builder.tracing.curves.affine import placed, quarter_turned
from catalog_builder.tracing.curves.border_chains import border_chains
from catalog_builder.tracing.curves.junctions import end_curve, meeting_point
from catalog_builder.tracing.curves.line_svg import line_svg
from catalog_builder.tracing.curves.pen_middle import pen_lines
from catalog_builder.tracing.curves.sharp_turns import sharp_turns
from catalog_builder.tracing.curves.smooth_curves import is_straight, smooth_curves
from catalog_builder.tracing.ink.darkness import darkness_of
from catalog_builder.tracing.ink.field_map import fields_of
from tests.tracing.paper_sheets import PX_PER_MM, rectangle, sheet


@pytest.mark.parametrize("pen_mm", [0.7, 1.2, 2.5])
@pytest.mark.parametrize("shift", [0.0, 0.013, 0.047])
def test_the_middle_of_a_straight_line_is_found_to_a_fiftieth_of_a_millimetre(pen_mm: float, shift: float) -> None:
    """Wherever a line lies between pixels, and however wide the pen is, its middle is known to 0.02 mm."""
    lines = [rectangle(20, 20, 80, 100), [(20, 60 + shift), (80, 60 + shift)]]
    dark = darkness_of(sheet(lines, pen_mm=pen_mm), PX_PER_MM, Place(path="sheet.png"))
    chains = border_chains(fields_of(dark.ink, PX_PER_MM, None).labels)
    found = pen_lines(chains, dark.values, dark.level, PX_PER_MM, pen_mm)
    level = next(line for line in found if np.ptp(line.points[:, 1]) < 3 and abs(line.points[0, 1] - 60) < 5)
    assert level.points[level.clean][:, 1] == pytest.approx(60 + shift, abs=0.02)
    assert np.median(level.wide) == pytest.approx(pen_mm, abs=0.12)


def run_of(*corners: tuple[float, float], step: float = 0.4) -> Points:
    """Points along straight lines, ``step`` mm apart."""
    parts = []
    for begin, end in pairwise(corners):
        count = round(np.hypot(end[0] - begin[0], end[1] - begin[1]) / step)
        parts.append(np.linspace(begin, end, count, endpoint=False))
    return np.vstack([*parts, corners[-1:]])


@pytest.mark.parametrize("turn", [35.0, 60.0, 90.0, 120.0])
def test_a_corner_is_kept(turn: float) -> None:
    """A line that turns at one place has its corner there."""
    away = np.radians(turn)
    points = run_of((0, 0), (20, 0), (20 + 20 * float(np.cos(away)), 20 * float(np.sin(away))))
    assert sharp_turns(points, closed=False, step_mm=0.4, pen_mm=1.2) == [pytest.approx(50, abs=1)]


def test_a_bend_is_no_corner() -> None:
    """A circle of 8 mm turns everywhere alike."""
    turn = np.arange(0, 2 * np.pi, 0.4 / 8)
    circle = 8 * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    assert sharp_turns(circle, closed=True, step_mm=0.4, pen_mm=1.2) == []


def test_three_lines_meet_where_their_clean_parts_lead() -> None:
    """A junction is where lines, led on from outside the pen's blot, come together."""
    meeting = np.array([30.0, 40.0])
    curves = []
    for degrees in (10, 130, 250):
        away = np.array([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))])
        points = meeting + np.arange(0, 15, 0.4)[:, None] * away
        points[:4] += [0.5, 0.4]  # the blot pulls them aside
        curve = end_curve(points, np.arange(len(points)) > 5, 1.2)
        assert curve is not None
        curves.append(curve)
    assert meeting_point(meeting + np.array([0.5, 0.4]), curves) == pytest.approx(meeting, abs=0.03)


def test_a_straight_line_is_one_curve_and_a_quarter_circle_few() -> None:
    """Curves are as few as will do, and stay within 0.1 mm of the line."""
    straight = run_of((0, 0), (40, 10))
    clean = np.ones(len(straight), dtype=bool)
    curves = smooth_curves(straight, clean, straight[0], straight[-1])
    assert len(curves) == 1
    assert is_straight(curves[0], 0.02)
    turn = np.arange(0, np.pi / 2, 0.4 / 30)
    arc = 30 * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    curves = smooth_curves(arc, np.ones(len(arc), dtype=bool), arc[0], arc[-1])
    assert 1 <= len(curves) <= 3
    share = np.linspace(0, 1, 50)[:, None]
    for p, q, r, s in curves:
        points = (1 - share) ** 3 * p + 3 * (1 - share) ** 2 * share * q + 3 * (1 - share) * share**2 * r + share**3 * s
        assert np.hypot(*points.T) == pytest.approx(30, abs=0.1)


@pytest.mark.parametrize("turns", [0, 1, 2, 3])
def test_a_quarter_turn_is_undone(turns: int) -> None:
    """A place of a picture that was turned by numpy goes back to where it was."""
    picture = np.zeros((30, 50))
    picture[7, 41] = 1
    row, column = np.argwhere(np.rot90(picture, turns))[0]
    back = placed(quarter_turned(turns, 50.0, 30.0), np.array([column + 0.5, row + 0.5]))
    assert back == pytest.approx([41.5, 7.5])


def test_the_text_is_what_the_program_reads() -> None:
    """Lines and the fold come back out of the SVG, in mm."""
    straight = np.array([[5.0, 5.0], [15.0, 5.0], [25.0, 5.0], [35.0, 5.0]])
    bent = np.array([[35.0, 5.0], [45.0, 5.0], [45.0, 25.0], [35.0, 25.0]])
    text = line_svg([[straight, bent]], (np.array([5.0, 2.5]), np.array([5.0, 30.0])), (50.0, 30.0))
    assert '<path d="M5 5 L35 5 C45 5 45 25 35 25"/>' in text
    drawing = read_drawing(Source("traced.svg", text))
    assert drawing.physical
    assert [mark.kind for mark in drawing.marks] == ["line", "fold"]
    assert drawing.marks[0].runs[0].flat(0.01)[-1] == pytest.approx([35, 25])
    assert drawing.unseen == ()
