"""Where the middle of a pen's line is taken to be."""

from __future__ import annotations

import numpy as np

from catalog_builder.tracing.curves.border_chains import BorderChain
from catalog_builder.tracing.curves.pen_middle import pen_lines

PX_PER_MM = 8.0
PEN_MM = 0.3


def test_a_blot_beside_a_fine_line_hardly_moves_its_middle() -> None:
    """Each of two turns moves a line by 0.35 of the pen at most, however far the ink beside it reaches."""
    values = np.zeros((100, 240), np.uint8)
    values[49:52] = 255
    values[49:90, 90:150] = 255
    points = np.column_stack([np.arange(10.0, 230.0), np.full(220, 50.0)])
    (line,) = pen_lines([BorderChain(0, 1, points, on_fold=False)], values, 255, PX_PER_MM, PEN_MM)
    away = np.abs(line.points[:, 1] * PX_PER_MM - 50)
    assert 0.5 < away.max() <= 2 * 0.35 * PEN_MM * PX_PER_MM + 1e-9
