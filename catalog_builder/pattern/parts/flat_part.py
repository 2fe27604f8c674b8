"""A flat part of a product: its drawing measured, and where its copies stand in space."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from catalog_builder.pattern.cuts import Cut
from catalog_builder.pattern.framing.frame import Frame
from catalog_builder.pattern.parts.placing import Placing
from catalog_builder.pattern.pieces import Pattern
from catalog_builder.pattern.seams import Edges
from catalog_builder.pattern.svg.curve import Points


@dataclass(frozen=True, slots=True, eq=False)
class FlatPart:
    """A flat part: its pattern, its edges, its cuts.

    ``name`` is empty for the main drawing. ``edges`` lack the rims that meet another part at every copy. ``places``
    has one entry for each copy, and ``rims`` what is left open there, each of shape (n, 2, 2) in its own plane.
    ``joined`` are the lines along which it meets other parts, at one copy or more, shape (n, 2, 2). All flats of a
    product are measured in the same mm. ``frame`` goes round it, if any; the rim that it takes in is not among the
    edges.
    """

    name: str
    pattern: Pattern
    edges: Edges
    cuts: tuple[Cut, ...]
    places: tuple[Placing, ...]
    rims: tuple[Points, ...]
    joined: Points
    frame: Frame | None = None

    @property
    def copies(self) -> int:
        """How many of it one item takes."""
        return len(self.places)

    @property
    def rim_mm(self) -> float:
        """The length of the rims of all copies."""
        return float(sum(np.hypot(*(rims[:, 1] - rims[:, 0]).T).sum() for rims in self.rims))

    @property
    def box(self) -> tuple[float, float, float, float]:
        """The box of its glass, wires and frame in its own plane: left, top, right, bottom."""
        left, top, right, bottom = shapely.total_bounds(self._shapes).tolist()
        return left, top, right, bottom

    @property
    def corners(self) -> Points:
        """Every corner of its glass, wires and frame, in its own plane; shape (n, 2)."""
        return np.asarray(shapely.get_coordinates(self._shapes))

    @property
    def _shapes(self) -> list[BaseGeometry]:
        pattern, frame = self.pattern, self.frame
        glass_and_wires = [*(piece.face for piece in pattern.pieces), *(wire.line for wire in pattern.wires)]
        return [*glass_and_wires, *([frame.outside] if frame is not None else [])]


def space_box(flats: Sequence[FlatPart]) -> Points:
    """Give the box that flats take in space, shape (2, 3): the least and the largest x, y and z."""
    points = np.concatenate([place.points(flat.corners) for flat in flats for place in flat.places])
    return np.array([points.min(axis=0), points.max(axis=0)])
