"""The fields that were traced, numbered row by row, each with a place inside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from catalog_builder.tracing.arrays import Points
from catalog_builder.tracing.ink.field_map import OUTSIDE, FieldMap

_COARSE = 5
# Fields whose middles lie within such a share of the height are of one row.
_ROWS = 12


@dataclass(frozen=True, slots=True)
class TracedField:
    """A field as drawn: its number, a place well inside it in mm, its area, and how wide it is there."""

    number: int
    at: tuple[float, float]
    area_mm2: float
    room_mm: float


def traced_fields(
    fields: FieldMap, px_per_mm: float, place: Callable[[Points], Points], scale: float
) -> tuple[TracedField, ...]:
    """Number the fields; ``place`` takes pixels to the drawing's mm, ``scale`` is those mm for each mm of the sheet."""
    from scipy.ndimage import distance_transform_edt, maximum_position

    if fields.count == 0:
        return ()
    coarse = fields.labels[::_COARSE, ::_COARSE]
    inside = coarse > OUTSIDE
    inside[:, 1:] &= coarse[:, 1:] == coarse[:, :-1]
    inside[1:] &= coarse[1:] == coarse[:-1]
    depth = distance_transform_edt(inside)
    numbers = np.arange(OUTSIDE + 1, OUTSIDE + 1 + fields.count)
    deepest = np.array(maximum_position(depth, coarse, numbers))
    areas = np.bincount(fields.labels[fields.labels > OUTSIDE], minlength=OUTSIDE + 1 + fields.count)[OUTSIDE + 1 :]
    places = place((deepest[:, ::-1] * _COARSE + _COARSE / 2).astype(float))
    rooms = depth[deepest[:, 0], deepest[:, 1]] * 2 * _COARSE / px_per_mm * scale
    row = max(float(np.ptp(places[:, 1])) / _ROWS, 1e-6)
    order = sorted(range(fields.count), key=lambda index: (round(places[index, 1] / row), places[index, 0]))
    return tuple(
        TracedField(
            number,
            (float(places[index, 0]), float(places[index, 1])),
            float(areas[index]) / px_per_mm**2 * scale**2,
            float(rooms[index]),
        )
        for number, index in enumerate(order, start=1)
    )
