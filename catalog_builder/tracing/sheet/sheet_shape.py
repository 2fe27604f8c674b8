"""How a sheet lies before a camera: its corners, the bow of the lens, and how far the paper itself is curled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from catalog_builder.tracing.arrays import Points
from catalog_builder.tracing.sheet.lens_bow import bowed, lens_frame
from catalog_builder.tracing.sheet.projection_matrix import homography
from catalog_builder.tracing.sheet.robust_fit import robust_fit

UNIT_SQUARE = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
# The focal length in half diagonals of the picture: about that of a phone's main camera, from memory. It matters only
# for how a curled sheet stands out that is photographed at a slant.
_FOCAL = 1.25
# A shape with more freedom must leave so much less over, and less than a pixel is as straight as paper is cut.
_GAIN = 0.7
_STRAIGHT_PX = 0.8


@dataclass(frozen=True, slots=True)
class SheetShape:
    """Corners in pixels as a lens without bow shows them, clockwise, shape (4, 2).

    ``bow`` is the radial coefficient of the lens; ``curl`` how far the sheet's middle stands out, as a share of its
    first side, along ``axis`` (0: from the first corner to the second). ``left_px`` is what nine tenths of the edges'
    points are off by, or less.
    """

    corners: Points
    picture: tuple[int, ...]
    bow: float = 0.0
    curl: float = 0.0
    axis: int = 0
    left_px: float = 0.0

    @property
    def is_flat(self) -> bool:
        """Whether a homography says it all."""
        return self.bow == 0 and self.curl == 0

    def seen(self, places: Points) -> Points:
        """Give where places (..., 2) of the sheet, from 0 to 1 along its sides, are seen in the picture."""
        middle, unit = lens_frame(self.picture)
        matrix = homography(UNIT_SQUARE, (self.corners - middle) / unit)
        images = np.concatenate([places, np.ones((*places.shape[:-1], 1))], axis=-1) @ matrix.T
        if self.curl:
            raised = self.curl * np.sin(np.pi * np.clip(places[..., self.axis], -0.2, 1.2))
            images = images + raised[..., None] * _upwards(matrix)
        straight = images[..., :2] / images[..., 2:] * unit + middle
        return bowed(straight, self.bow, self.picture) if self.bow else straight


def _upwards(matrix: Points) -> Points:
    """Give what a step out of the sheet adds to the image, in homogeneous coordinates: the third axis of the camera."""
    lens = np.array([_FOCAL, _FOCAL, 1.0])
    first, second = matrix[:, 0] / lens, matrix[:, 1] / lens
    third = np.cross(first, second)
    return np.asarray(lens * third / np.linalg.norm(third) * np.linalg.norm(first))


def shape_of(corners: Points, edges: Sequence[Points], picture: tuple[int, ...]) -> SheetShape:
    """Give the shape that four edges show, each with points (n, 2) from one corner to the next.

    A lens that bows comes before paper that curls, and a flat sheet before both, where they fit as well.
    """
    flat = _fitted(SheetShape(corners, picture), edges, (False, False))
    if flat.left_px < _STRAIGHT_PX:
        return flat
    best = flat
    through_lens = _fitted(flat, edges, (True, False))
    if through_lens.left_px < _GAIN * best.left_px:
        best = through_lens
    if best.left_px < _STRAIGHT_PX:
        return best
    for axis in (0, 1):
        start = SheetShape(through_lens.corners, picture, through_lens.bow, 0.0, axis)
        curled = _fitted(start, edges, (True, True))
        if curled.left_px < _GAIN * best.left_px:
            best = curled
    return best


def _fitted(start: SheetShape, edges: Sequence[Points], free: tuple[bool, bool]) -> SheetShape:
    """Fit corners, and bow and curl where they are ``free``, to edges by least squares, far points counting less."""
    few = [points[:: max(1, len(points) // 50)] for points in edges]

    def shape(values: Points) -> SheetShape:
        given = start.corners + values[:8].reshape(4, 2)
        bow = start.bow + float(values[8]) / 100 if free[0] else start.bow
        curl = start.curl + float(values[-1]) / 100 if free[1] else start.curl
        return SheetShape(given, start.picture, bow, curl, start.axis)

    def off(values: Points) -> Points:
        model = shape(values)
        return np.concatenate([_off(model, index, points) for index, points in enumerate(few)])

    values = robust_fit(off, np.zeros(8 + sum(free)))
    best = shape(values)
    left = float(np.quantile(np.abs(off(values)), 0.9))
    return SheetShape(best.corners, best.picture, best.bow, best.curl, best.axis, left)


def _off(model: SheetShape, index: int, points: Points) -> Points:
    """Give how far points of an edge lie off it, across it, in pixels."""
    begin, end = UNIT_SQUARE[index], UNIT_SQUARE[(index + 1) % 4]
    share = np.linspace(-0.02, 1.02, 60)[:, None]
    line = model.seen(begin + share * (end - begin))
    along = (line[-1] - line[0]) / np.hypot(*(line[-1] - line[0]))
    across = np.array([-along[1], along[0]])
    return np.asarray((points - line[0]) @ across - np.interp(points @ along, line @ along, (line - line[0]) @ across))
