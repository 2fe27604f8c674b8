"""A made piece as it is seen from somewhere: every flat part in its place, the farthest first."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.pattern.parts.placing import Placing
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.level_axes import standing_axes
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.publish.pictures.svg_text import digits
from catalog_builder.records.product import Down


@dataclass(frozen=True, slots=True, eq=False)
class ProjectedPart:
    """A copy of a flat as it is seen: ``matrix``, shape (2, 3), takes its points into the picture, mm.

    ``facing`` is 1 where it is seen full face, 0 where it is seen by its edge; ``near`` grows towards the viewer.
    """

    flat: FlatPart
    matrix: Points
    facing: float
    near: float

    @property
    def transform(self) -> str:
        """The matrix as SVG writes it; empty where it changes nothing."""
        if np.allclose(self.matrix, np.eye(3)[:2]):
            return ""
        return "matrix(" + " ".join(digits(value, 4) for value in self.matrix.T.reshape(-1).tolist()) + ")"

    @property
    def corners(self) -> Points:
        """Every corner of its glass and wires in the picture; shape (n, 2)."""
        return np.asarray(self.flat.corners @ self.matrix[:, :2].T + self.matrix[:, 2])

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Its box in the picture: left, top, right, bottom."""
        points = self.corners
        return (*points.min(axis=0).tolist(), *points.max(axis=0).tolist())


@dataclass(frozen=True, slots=True)
class View:
    """Where a piece is seen from, without perspective: turned by ``yaw``, from above by ``pitch``, in degrees.

    At 0 it is seen from the front, at a yaw of 90 from its left side. ``down`` is the side of the main drawing that
    lies on the ground.
    """

    yaw: float = 0.0
    pitch: float = 0.0
    down: Down = "bottom"

    @property
    def matrix(self) -> Points:
        """Takes a place in the drawing's space to the right, down and towards the viewer; shape (3, 3), a rotation."""
        return np.asarray(self.turn @ standing_axes(self.down).T)

    @property
    def turn(self) -> Points:
        """Takes a place given to the right, down and towards the front of what stands to those of the view."""
        turn, tip = math.radians(self.yaw), math.radians(self.pitch)
        turned = np.array([[math.cos(turn), 0, math.sin(turn)], [0, 1, 0], [-math.sin(turn), 0, math.cos(turn)]])
        tipped = np.array([[1, 0, 0], [0, math.cos(tip), math.sin(tip)], [0, -math.sin(tip), math.cos(tip)]])
        return np.asarray(tipped @ turned)

    def standing_point(self, place: Sequence[float]) -> tuple[float, float]:
        """Give where a place is seen that is given to the right, down and towards the front of what stands."""
        x, y, _ = (self.turn @ np.asarray(place)).tolist()
        return x, y

    def point(self, place: Sequence[float]) -> tuple[float, float]:
        """Give where a place in space, x, y, z, is seen."""
        x, y, _ = (self.matrix @ np.asarray(place)).tolist()
        return x, y

    def project(self, made_piece: MadePiece) -> tuple[ProjectedPart, ...]:
        """Give every copy of every flat as it is seen, the farthest first."""
        parts = [self._project(flat, place) for flat in made_piece.flats for place in flat.places]
        return tuple(sorted(parts, key=lambda part: round(part.near, 3)))

    def _project(self, flat: FlatPart, place: Placing) -> ProjectedPart:
        matrix = self.matrix @ np.stack([place.across, place.down, place.origin], axis=1)
        left, top, right, bottom = flat.box
        near = float(matrix[2] @ np.array([(left + right) / 2, (top + bottom) / 2, 1.0]))
        return ProjectedPart(flat, matrix[:2], abs(float(np.linalg.det(matrix[:2, :2]))), near)


FRONT = View()
SIDE = View(yaw=90.0)
# A flat piece is seen from the front; one whose parts stand out of its plane from a little aside and above.
ASIDE = View(yaw=28.0, pitch=10.0)


def best_view(made_piece: MadePiece, suspension: Suspension) -> View:
    """Choose from where a piece shows itself best."""
    view = ASIDE if made_piece.in_the_round else FRONT
    return replace(view, down=suspension.stance.down) if suspension.stance is not None else view


def box_of(parts: Sequence[ProjectedPart]) -> tuple[float, float, float, float]:
    """Give the box of all that is seen: left, top, right, bottom."""
    boxes = np.array([part.box for part in parts])
    (left, top), (right, bottom) = boxes[:, :2].min(axis=0).tolist(), boxes[:, 2:].max(axis=0).tolist()
    return left, top, right, bottom
