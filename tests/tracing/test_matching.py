"""The matching is held to drawings that are exact, and to faults that are put into them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from tests.tracing.designs.design import Design, Points
from tests.tracing.matching import match

_BARS = [np.array([[x, 0.0], [x, 60.0]]) for x in (0.0, 30.0, 55.0, 90.0)]
_LEVELS = [np.array([[0.0, y], [90.0, y]]) for y in (0.0, 25.0, 60.0)]
PANEL = Design("panel", (*_BARS, *_LEVELS))


def svg_of(strokes: Sequence[Points], turn: float = 0.0, scale: float = 1.0) -> str:
    """Give strokes as line work of an SVG in mm, turned by degrees about the origin and moved."""
    cosine, sine = np.cos(np.radians(turn)) * scale, np.sin(np.radians(turn)) * scale
    placed = [stroke @ np.array([[cosine, sine], [-sine, cosine]]) + (150, 150) for stroke in strokes]
    paths = "".join(
        '<path d="M{}"/>\n'.format(" L".join(f"{x:.5f},{y:.5f}" for x, y in stroke.tolist())) for stroke in placed
    )
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="300mm" viewBox="0 0 300 300">'
    return f'{head}\n<g fill="none" stroke="#000">\n{paths}</g></svg>'


@pytest.mark.parametrize("turn", [0.0, 3.0, 90.0, 182.0, 271.5])
def test_an_exact_drawing_is_right_however_it_lies(turn: float) -> None:
    """Six pieces, no border off by more than a thousandth of a per cent."""
    result = match(PANEL, svg_of(PANEL.strokes, turn))
    assert (result.is_right, result.pieces, result.right) == (True, 6, 6)
    assert result.borders.max() < 2e-3
    assert result.width < 2e-3
    assert result.area < 2e-3


def test_a_drawing_is_never_scaled_to_fit() -> None:
    """A trace 1 % too large is 1 % too wide, and has 2.01 % more glass."""
    result = match(PANEL, svg_of(PANEL.strokes, scale=1.01))
    assert result.width == pytest.approx(1.0, abs=0.01)
    assert result.area == pytest.approx(2.01, abs=0.01)


def test_a_line_that_is_missing_or_too_many_is_wrong() -> None:
    """Two pieces run into one, or one piece is two: neither is right, though all else is."""
    missing = match(PANEL, svg_of([*_BARS[:1], *_BARS[2:], *_LEVELS]))
    assert not missing.is_right
    assert missing.right == 2
    extra = match(PANEL, svg_of([*PANEL.strokes, np.array([[70.0, 0.0], [70.0, 25.0]])]))
    assert not extra.is_right
    assert extra.right == 5


def test_a_border_that_is_off_is_measured() -> None:
    """A bar 0.9 mm aside is 1 % of the longer side away, less what the fit shares out; 3 mm aside it is wrong."""
    aside = [*_BARS[:1], _BARS[1] + (0.9, 0.0), *_BARS[2:], *_LEVELS]
    result = match(PANEL, svg_of(aside))
    assert result.is_right
    assert result.borders.max() == pytest.approx(0.95, abs=0.05)
    far = match(PANEL, svg_of([*_BARS[:1], _BARS[1] + (3.0, 0.0), *_BARS[2:], *_LEVELS]))
    assert far.right == 2


def test_an_empty_trace_is_wrong() -> None:
    """Lines that close nothing give no piece."""
    result = match(PANEL, svg_of([np.array([[0.0, 0.0], [50.0, 10.0]])]))
    assert (result.is_right, result.right) == (False, 0)
