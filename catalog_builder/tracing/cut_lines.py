"""Lines that run out of the sheet: what lies beyond its edge, or in the strip along it, is not traced."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from catalog_builder.tracing.arrays import Points
from catalog_builder.tracing.curves.affine import placed
from catalog_builder.tracing.ink.darkness import MARGIN_MM
from catalog_builder.tracing.ink.line_net import LineNet
from catalog_builder.tracing.trace_finding import TraceFinding

# What lies along the edge for longer is its shadow, or the edge of another sheet.
_LONGEST_MM = 25.0
_TEXT = (
    "a line runs to the edge of the sheet: what is drawn there is cut off, and no piece; draw further in, or on a"
    " larger sheet"
)


def cut_lines(net: LineNet, sides_px: tuple[int, int], px_per_mm: float, from_px: Points) -> Iterator[TraceFinding]:
    """Tell where lines of a net cross the strip along the edge of a sheet; ``sides_px`` are its rows and columns."""
    margin = round(MARGIN_MM * px_per_mm)
    for axis, kept in enumerate((net.rows, net.columns)):
        for place in (margin, sides_px[axis] - margin - 1):
            if kept.start <= place < kept.stop:
                across = (net.columns, net.rows)[axis]
                corners = margin - across.start, sides_px[1 - axis] - margin - across.start
                for along in _crossed(net, axis, place - kept.start, corners, _LONGEST_MM * px_per_mm):
                    at = np.array([along, place - kept.start + 0.5][:: 1 if axis == 0 else -1])
                    x, y = placed(from_px, at).tolist()
                    yield TraceFinding("cut off", (round(x, 1), round(y, 1)), _TEXT, doubt=True)


def _crossed(net: LineNet, axis: int, place: int, corners: tuple[int, int], longest: float) -> Iterator[float]:
    """Give where lines cross a row (axis 0) or a column (axis 1) of a net.

    What touches the strip along another edge, at one of the ``corners``, lies along that.
    """
    ink = np.take(net.mask, place, axis=axis).astype(int)
    steps = np.diff(np.concatenate([[0], ink, [0]]))
    for begin, end in zip(np.flatnonzero(steps == 1), np.flatnonzero(steps == -1), strict=True):
        if end - begin <= longest and begin > corners[0] and end < corners[1]:
            yield float(begin + end) / 2
