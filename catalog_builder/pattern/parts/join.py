"""Joins: straight lines of a drawing along which a flat part is joined on at an angle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog_builder.pattern.flaw import Flaw
from catalog_builder.pattern.svg.curve import Points

# A join that rises by less than this share of its length counts as level: about a quarter of a degree.
LEVEL = 0.005
EXPECTED = "one straight line along an edge of the glass, a seam or a wire"


@dataclass(frozen=True, slots=True, eq=False)
class Join:
    """A join in mm: ``points`` has shape (2, 2), its upper end first, or its left one where it lies level.

    ``part`` names the part that it is for, None every part; ``row`` is the line of the file. ``mirrored``:
    it stands across the fold from where it is drawn; its ``points`` are then those that are drawn.
    """

    points: Points
    part: str | None
    row: int
    mirrored: bool = False

    @property
    def length_mm(self) -> float:
        """How long it is."""
        return float(np.hypot(*(self.points[1] - self.points[0])))

    @property
    def direction(self) -> Points:
        """The unit vector from its upper or left end to the other; shape (2,)."""
        return np.asarray((self.points[1] - self.points[0]) / self.length_mm)

    @property
    def middle(self) -> Points:
        """The point halfway along it; shape (2,)."""
        return np.asarray(self.points.mean(axis=0))


def read_join(points: Points, part: str | None, row: int, straight_mm: float) -> Join | Flaw:
    """Make a join of a flattened line, shape (n, 2), or say why it cannot be one."""
    begin, end = points[0], points[-1]
    length = float(np.hypot(*(end - begin)))
    at = (float(begin[0]), float(begin[1]))
    mend = "draw one straight line from end to end of the edge that is joined"
    if length <= straight_mm:
        return Flaw("the join has no length", mend, at, row, EXPECTED)
    along = (end - begin) / length
    off = (points[:, 1] - begin[1]) * along[0] - (points[:, 0] - begin[0]) * along[1]
    if float(np.abs(off).max()) > straight_mm:
        return Flaw("the join is not one straight line", mend, at, row, EXPECTED)
    level = abs(along[1]) < LEVEL
    backwards = along[0] < 0 if level else along[1] < 0
    return Join(np.array([end, begin] if backwards else [begin, end]), part, row)
