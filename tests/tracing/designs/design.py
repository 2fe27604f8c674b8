"""A design as strokes of a pen in mm, y downwards, and the pieces that it parts."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, MultiPolygon, Polygon

Points = NDArray[np.float64]
# Snap rounding finds the ends that lie on another stroke; truth is known to this.
GRID_MM = 1e-4


@dataclass(frozen=True)
class Design:
    """A design about the point (0, 0); ``folded`` where the strokes are its left half and the fold is x = 0."""

    name: str
    strokes: tuple[Points, ...]
    folded: bool = False

    @cached_property
    def whole_strokes(self) -> tuple[Points, ...]:
        """The strokes of both halves."""
        return (*self.strokes, *(stroke * (-1, 1) for stroke in self.strokes)) if self.folded else self.strokes

    @cached_property
    def pieces(self) -> tuple[Polygon, ...]:
        """Every closed field, by the exact strokes, without any pen."""
        network = shapely.union_all([LineString(stroke) for stroke in self.whole_strokes], grid_size=GRID_MM)
        fields = shapely.get_parts(shapely.polygonize([network]))
        return tuple(fields)

    @property
    def size_mm(self) -> float:
        """The longer side of the whole design's box."""
        left, top, right, bottom = shapely.total_bounds(self.pieces)
        return float(max(right - left, bottom - top))

    def moved(self, by: tuple[float, float]) -> Design:
        """Give the design elsewhere; a folded one is moved before it is unfolded, so only along its fold."""
        return Design(self.name, tuple(stroke + np.array(by) for stroke in self.strokes), self.folded)

    def scaled(self, factor: float) -> Design:
        """Give the design in another size."""
        return Design(self.name, tuple(stroke * factor for stroke in self.strokes), self.folded)

    def unfolded(self) -> Design:
        """Give the whole design as one that is not folded."""
        return Design(self.name, self.whole_strokes)


def inner_radius_mm(field: shapely.Geometry) -> float:
    """Give the radius of the largest circle in a field; 0 for what is no area."""
    if field.area == 0 or not isinstance(field, Polygon | MultiPolygon):
        return 0.0
    return float(shapely.maximum_inscribed_circle(field, tolerance=0.1).length)


def resampled(points: Points, step_mm: float) -> Points:
    """Give points at even steps along a stroke, its ends kept."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    at = np.linspace(0, along[-1], max(2, round(along[-1] / step_mm) + 1))
    return np.stack([np.interp(at, along, points[:, 0]), np.interp(at, along, points[:, 1])], axis=1)
