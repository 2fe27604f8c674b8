"""The tip of a corner, half a pen inside the outer edge of its ink.

The pen's round nib shows there where it turned, at an acute corner and at one that is a little round.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from catalog_builder.tracing.arrays import Points, length
from catalog_builder.tracing.curves.junctions import EndCurve

# How much of each place (..., 2) in mm is ink, from 0 to 1.
Ink = Callable[[Points], Points]
_STEP_MM = 0.05
# The ink ends where there is less; beyond the corner it is looked for over so many pens.
_NO_INK, _AHEAD = 0.1, 3.0
# Lines that turn by less have no tip to speak of: cosine of half the angle between them.
_LEAST_COSINE = 0.2


def corner_tip(near: Points, meeting: Points, curves: Sequence[EndCurve], ink: Ink, pen_mm: float) -> Points:
    """Give the tip of a corner of two lines, all in mm.

    ``near`` lies in its ink, ``meeting`` where the lines come together when they are led on, which is the tip where
    the ink shows none.
    """
    ways = [curve.at(np.array([0.5]))[0] - meeting for curve in curves]
    inwards = sum((way / max(length(way), 1e-9) for way in ways), np.zeros(2)) / 2
    if length(inwards) < _LEAST_COSINE:
        return meeting
    outwards = -inwards / length(inwards)
    begin = meeting - outwards * max(0.0, float((meeting - near) @ outwards))
    away = np.arange(0.0, length(meeting - begin) + _AHEAD * pen_mm, _STEP_MM)
    share = ink(begin + away[:, None] * outwards)
    ends = np.flatnonzero(share < _NO_INK)
    if share[0] < 0.5 or len(ends) == 0:
        return meeting
    tip = float(share[: ends[0]].sum()) * _STEP_MM - pen_mm / 2
    return np.asarray(begin + outwards * max(0.0, tip))
