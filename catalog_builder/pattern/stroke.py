"""Shapes too narrow for glass: strokes and letters that a drawing program has turned into shapes."""

from __future__ import annotations

import shapely
from shapely import Polygon

# A shape narrower than this on average, with a border of so many widths, and nowhere so many times as wide, is a line
# or a letter: too narrow for glass.
STROKE_MM = 1.1
STROKE_WIDTHS = 16
STROKE_EVEN = 1.5


def mean_width(face: Polygon) -> float:
    """Give the average width of a narrow piece in mm."""
    # A strip of length l and width w has the area l w and about 2 l of border.
    return float(2 * face.area / face.length)


def is_stroke(face: Polygon) -> bool:
    """Say whether a piece is as narrow as a stroke or a letter that a drawing program has turned into a shape."""
    width = mean_width(face)
    if width >= min(STROKE_MM, face.length / STROKE_WIDTHS):
        return False
    return bool(2 * shapely.maximum_inscribed_circle(face, width / 10).length < STROKE_EVEN * width)
