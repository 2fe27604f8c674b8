"""The fields that the net encloses, each pixel of ink given to the field nearest to it.

Spurs, numbers on a line and burrs have one field on both sides, and so drop out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from catalog_builder.tracing.arrays import Labels, Mask
from catalog_builder.tracing.ink.fold_line import FoldLine
from catalog_builder.tracing.ink.line_net import distances

# A room smaller than this between lines is of a digit, or between the two strokes of a line drawn twice.
LEAST_ROOM_MM2 = 15.0
OUTSIDE, BEYOND_FOLD = 1, -1


@dataclass(frozen=True, slots=True)
class SmallRoom:
    """A room between lines that is no field: its middle and its area in mm."""

    at: tuple[float, float]
    area_mm2: float


@dataclass(frozen=True, slots=True)
class FieldMap:
    """For each pixel the number of its field from 2 on, ``OUTSIDE`` or ``BEYOND_FOLD``; and rooms that are no field."""

    labels: Labels
    count: int
    small_rooms: tuple[SmallRoom, ...]


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
    least, fields, small = LEAST_ROOM_MM2 * px_per_mm**2, OUTSIDE, []
    for room in range(1, count + 1):
        if room in outside:
            numbers[room] = OUTSIDE
        elif areas[room] >= least:
            fields += 1
            numbers[room] = fields
        elif areas[room] > 1.0 * px_per_mm**2:
            small.append(room)
    labels = numbers[rooms]
    full = _nearest(labels, (labels == 0) & ~beyond)
    full[beyond] = BEYOND_FOLD
    return FieldMap(full, fields - OUTSIDE, _small_rooms(rooms, small, areas, px_per_mm))


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


def _small_rooms(rooms: Labels, small: list[int], areas: NDArray[Any], px_per_mm: float) -> tuple[SmallRoom, ...]:
    from scipy.ndimage import find_objects

    boxes = find_objects(rooms)
    result = []
    for room in small:
        rows, columns = boxes[room - 1]
        at = (columns.start + columns.stop) / 2 / px_per_mm, (rows.start + rows.stop) / 2 / px_per_mm
        result.append(SmallRoom(at, float(areas[room]) / px_per_mm**2))
    return tuple(result)
