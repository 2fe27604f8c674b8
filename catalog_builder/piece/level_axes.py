"""Axes that are level and plumb as a piece hangs or stands, in its drawing's x, y, z."""

from __future__ import annotations

import numpy as np

from catalog_builder.pattern.svg.curve import Points
from catalog_builder.records.product import Down

# The way to the ground of each side of the main drawing.
_TO_GROUND: dict[Down, tuple[float, float, float]] = {
    "bottom": (0.0, 1.0, 0.0),
    "back": (0.0, 0.0, -1.0),
    "front": (0.0, 0.0, 1.0),
}


def level_axes(straight_down: tuple[float, float, float]) -> Points:
    """Give the level line to the right, the plumb line and the level line to the viewer, as columns, shape (3, 3)."""
    plumb = np.array(straight_down)
    right = np.array([1.0, 0.0, 0.0]) - plumb[0] * plumb
    right /= np.linalg.norm(right)
    return np.stack([right, plumb, np.cross(right, plumb)], axis=1)


def standing_axes(down: Down) -> Points:
    """Give the axes of a piece that stands on a side of its main drawing."""
    return level_axes(_TO_GROUND[down])
