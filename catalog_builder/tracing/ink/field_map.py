"""The fields that the net encloses, each pixel of ink given to the field nearest to it.

Spurs, numbers on a line and burrs have one field on both sides, and so drop out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog_builder.tracing.arrays import Labels, Mask
from catalog_builder.tracing.ink.fold_line import FoldLine
from catalog_builder.tracing.ink.line_net import distances

# A room smaller than this between lines is of a digit, or between the two strokes of a line drawn twice.
LEAST_ROOM_MM2 = 15.0
OUTSIDE, BEYOND_FOLD = 1, -1


@dataclass(frozen=True, slots=True)
class FieldMap:
    """For each pixel the number of its field from 2 on, ``OUTSIDE`` or ``BEYOND_FOLD``."""

    labels: Labels
    count: int


def fields_of(net: Mask, px_per_mm: float, fold: FoldLine | None) -> FieldMap:
    """Find the fields; the fold cuts them and is no border of its own."""
    from scipy.ndimage import label

    height, width = net.shape
    free = ~net
    beyond = np.zeros_like(net)
    if fold is not None:
        beyond = (np.arange(width) + 0.5)[None, :] > fold.x(np.arange(height) + 0.5)[:, None]
        free &= ~beyond
    rooms, count = label(free)
    areas = np.bincount(rooms.ravel(), minlength=count + 1)
    outside = set(np.concatenate([rooms[0], rooms[-1], rooms[:, 0], rooms[:, -1]]).tolist()) - {0}
    if fold is not None:
        outside |= _behind_net(rooms, net, fold)
    numbers = np.zeros(count + 1, dtype=np.int32)
    least, fields = LEAST_ROOM_MM2 * px_per_mm**2, OUTSIDE
    for room in range(1, count + 1):
        if room in outside:
            numbers[room] = OUTSIDE
        elif areas[room] >= least:
            fields += 1
            numbers[room] = fields
    labels = numbers[rooms]
    full = _nearest(labels, (labels == 0) & ~beyond)
    full[beyond] = BEYOND_FOLD
    return FieldMap(full, fields - OUTSIDE)


def _nearest(labels: Labels, solid: Mask) -> Labels:
    """Give each pixel of ``solid`` the label of the nearest one that has any."""
    full = labels.copy()
    if solid.any():
        ink = distances(solid, labels > 0)
        full[ink.rows, ink.columns] = labels[ink.nearest_rows, ink.nearest_columns]
    return full


def _behind_net(rooms: Labels, net: Mask, fold: FoldLine) -> set[int]:
    """Give the rooms that touch the fold above and below all of the net: those are outside."""
    rows = np.flatnonzero(net.any(axis=1))
    outside = set()
    for row in (max(0, int(rows[0]) - 3), min(rooms.shape[0] - 1, int(rows[-1]) + 3)):
        column = int(fold.x(np.array(row + 0.5))) - 1
        if 0 <= column < rooms.shape[1] and rooms[row, column] > 0:
            outside.add(int(rooms[row, column]))
    return outside
