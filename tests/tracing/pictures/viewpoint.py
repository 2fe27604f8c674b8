"""Where a camera stands over a sheet: from a place in the photo to a place on the sheet."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.tracing.designs.design import Points

# The focal length in half diagonals of the picture: about that of a phone's main camera; from memory.
_FOCAL = 1.25


@dataclass(frozen=True, slots=True)
class Stand:
    """How the camera is held; angles in degrees, ``bow`` the radial share at half the diagonal, ``curl`` in mm.

    ``cut_mm`` is how far one corner of the sheet lies outside the frame.
    """

    tilt: float = 8.0
    turn: float = 0.0
    bow: float = 0.0
    curl: float = 0.0
    cut_mm: float = 0.0
    margin: float = 0.08


class View:
    """A sheet of a size in mm seen in a picture of a size in pixels."""

    def __init__(
        self, sheet: tuple[float, float], picture: tuple[int, int], stand: Stand, chance: np.random.Generator
    ) -> None:
        self._sheet, self._stand = np.array(sheet), stand
        self._middle = np.array(picture, dtype=float) / 2
        self._half_diagonal = float(np.hypot(*self._middle))
        # Tilted about a level axis that lies anywhere, then turned in the picture.
        lean, axis = np.radians(stand.tilt), chance.uniform(0, 2 * np.pi)
        around = np.array([np.cos(axis), np.sin(axis), 0])
        self._turned = _about(np.array([0, 0, 1.0]), np.radians(stand.turn)) @ _about(around, lean)
        self._ways = chance.permutation(2)
        self._distance, self._shift = 1.0, np.zeros(2)
        corners = np.array([[0, 0], [sheet[0], 0], sheet, [0, sheet[1]]])
        self._distance = 4 * float(max(sheet))
        for _ in range(12):
            seen = self.seen(corners)
            reach = np.abs(seen - self._middle - (seen.min(axis=0) + seen.max(axis=0)) / 2 + self._middle)
            self._distance *= float((reach / (self._middle * (1 - 2 * stand.margin))).max())
            seen = self.seen(corners)
            self._shift += self._middle - (seen.min(axis=0) + seen.max(axis=0)) / 2
        if stand.cut_mm:
            self._cut(corners, chance)

    def _cut(self, corners: Points, chance: np.random.Generator) -> None:
        seen = self.seen(corners)
        a_mm = float(np.hypot(*(seen[1] - seen[0])) / self._sheet[0])
        axis = int(chance.integers(2))
        order = np.argsort(seen[:, axis])
        if chance.random() < 0.5:
            self._shift[axis] -= seen[order[0], axis] + self._stand.cut_mm * a_mm
        else:
            self._shift[axis] += 2 * self._middle[axis] - seen[order[-1], axis] + self._stand.cut_mm * a_mm

    def seen(self, places: Points) -> Points:
        """Give where places on the sheet, mm, shape (n, 2), are seen in the picture, pixels."""
        straight = self._straight(places, self._raised(places))
        # The lens bends outwards or inwards: found backwards, by steps.
        away = (straight - self._middle) / self._half_diagonal
        bent = away.copy()
        for _ in range(20):
            bent = away / (1 + self._stand.bow * (bent**2).sum(axis=1, keepdims=True))
        return np.asarray(bent * self._half_diagonal + self._middle) + self._shift

    def on_sheet(self, pixels: Points) -> Points:
        """Give the places on the sheet, mm, that are seen at places of the picture, shape (n, 2)."""
        away = (pixels - self._shift - self._middle) / self._half_diagonal
        away = away * (1 + self._stand.bow * (away**2).sum(axis=1, keepdims=True))
        straight = away * self._half_diagonal + self._middle
        places = self._back(straight)
        if self._stand.curl:
            for _ in range(25):
                raised = self._straight(places, self._raised(places))
                places = places + self._back(straight) - self._back(raised)
        return places

    def _raised(self, places: Points) -> Points:
        """Give how far a curled sheet stands above the table: its edges lie, its middle bulges."""
        share = np.clip(places[:, int(self._ways[0])] / self._sheet[int(self._ways[0])], -0.2, 1.2)
        return np.asarray(self._stand.curl * np.sin(np.pi * share))

    def _straight(self, places: Points, raised: Points) -> Points:
        solid = np.column_stack([places - self._sheet / 2, -raised]) @ self._turned.T
        depth = solid[:, 2:] + self._distance
        return np.asarray(_FOCAL * self._half_diagonal * solid[:, :2] / depth + self._middle)

    def _back(self, straight: Points) -> Points:
        ray = np.column_stack([(straight - self._middle) / (_FOCAL * self._half_diagonal), np.ones(len(straight))])
        # The sheet's plane: turned (x, y, 0) + (0, 0, distance).
        normal = self._turned[:, 2]
        depth = normal[2] * self._distance / (ray @ normal)
        solid = ray * depth[:, None] - np.array([0, 0, self._distance])
        return np.asarray((solid @ self._turned)[:, :2] + self._sheet / 2)


def _about(axis: Points, radians: float) -> Points:
    x, y, z = axis
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.asarray(np.eye(3) + np.sin(radians) * cross + (1 - np.cos(radians)) * cross @ cross)
