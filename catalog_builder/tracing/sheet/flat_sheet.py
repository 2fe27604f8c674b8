"""The flat sheet: a photo or scan brought to a known number of pixels for each millimetre."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal, TypeAlias

import numpy as np
from PIL import Image

from catalog_builder.mistake import MistakeError
from catalog_builder.tracing.arrays import Pixels, Points, length
from catalog_builder.tracing.sheet.projection_matrix import homography
from catalog_builder.tracing.sheet.sheet_corners import find_sheet
from catalog_builder.tracing.sheet.sheet_picture import SheetPicture
from catalog_builder.tracing.sheet.sheet_shape import UNIT_SQUARE, SheetShape
from catalog_builder.tracing.trace_options import TraceOptions

ScaleSource: TypeAlias = Literal["paper", "scanned paper", "dpi", "file", "width"]
# Eight pixels for each millimetre, fewer where the sheet is larger than A4: the thinnest pen is five across.
MOST_PX_PER_MM = 8.0
MOST_PIXELS = 6_400_000
# The sides of a scan of a whole sheet are in the sheet's ratio.
_SAME_RATIO = 0.012
# Levels, of 255, by which the border of a scan may differ from the middle.
_AS_LIGHT = 12
_SEEN_ENOUGH = 0.3
_SEEN_WELL = 0.7
# The grid, in pixels of the flat sheet, between whose corners the photo is interpolated.
_CELL = 45
_EXPECTED = "a sheet of paper with all four edges in the picture, on a table that is darker or lighter"


@dataclass(frozen=True, slots=True)
class FlatSheet:
    """Pixels of shape (height, width) or (height, width, 3), the scale, where it is from, and how sure it is.

    ``sure`` is the uncertainty as a share of a length. ``seen`` is the share of the weakest edge that is seen, 1 for a
    scan.
    """

    pixels: Pixels
    px_per_mm: float
    source: ScaleSource
    sure: float
    seen: float = 1.0

    @property
    def is_doubtful(self) -> bool:
        """Whether an edge of the sheet is seen so little that the scale may be wrong."""
        return self.seen < _SEEN_WELL


def flatten(picture: SheetPicture, options: TraceOptions) -> FlatSheet:
    """Bring a picture to scale by the sheet, or by the dots per inch; by the width comes later.

    Raises:
        MistakeError: the sheet is not found, or nothing gives a scale.
    """
    if options.paper_mm is not None:
        return _by_paper(picture, options.paper_mm)
    told_dpi = options.dpi * picture.shrunk if options.dpi else None
    dpi = told_dpi or (picture.dpi if options.width_mm is None else None)
    if dpi is not None:
        return _level(picture.pixels, dpi / 25.4, "dpi" if options.dpi else "file", 0.002)
    if options.width_mm is not None:
        # A first guess, for what is drawn to be found: the long side of a sheet of A4.
        return _level(picture.pixels, max(picture.width, picture.height) / 297.0, "width", 0.01)
    raise MistakeError.at(
        picture.place,
        wrong="nothing says how large the drawing is",
        expected="--paper a4 (the sheet in the photo), --dpi 300 (a scan), or --width 140mm (what is drawn)",
        mend="add the one that you know; --paper is the surest for a photo",
    )


def _level(pixels: Pixels, px_per_mm: float, source: ScaleSource, sure: float) -> FlatSheet:
    """Take a picture as flat as it is, with fewer pixels where it has more than needed."""
    height, width = pixels.shape[:2]
    times = min(1.0, MOST_PX_PER_MM / px_per_mm, (MOST_PIXELS / (height * width)) ** 0.5)
    if times < 1.0:
        size = round(width * times), round(height * times)
        times = (size[0] / width * size[1] / height) ** 0.5
        pixels = np.asarray(Image.fromarray(pixels).resize(size, Image.Resampling.BILINEAR, reducing_gap=2.0))
    return FlatSheet(pixels, px_per_mm * times, source, sure)


def _by_paper(picture: SheetPicture, paper_mm: tuple[float, float]) -> FlatSheet:
    height, width = picture.pixels.shape[:2]
    ratio = max(height, width) / min(height, width) / (paper_mm[1] / paper_mm[0])
    scanned = abs(ratio - 1) < _SAME_RATIO
    sheet = None if scanned and _is_paper_all_over(picture.pixels) else find_sheet(picture.pixels)
    area = _area(sheet.shape.corners) if sheet is not None else 0.0
    if scanned and (sheet is None or sheet.seen < 0.7 or area > 0.85 * height * width):
        whole = SheetShape(UNIT_SQUARE * [width, height], picture.pixels.shape)
        return _warped(picture.pixels, whole, _turned(paper_mm, width > height), ("scanned paper", 0.004, 1.0))
    if sheet is None or sheet.seen < _SEEN_ENOUGH:
        raise MistakeError.at(
            picture.place,
            wrong="the sheet of paper was not found in the picture",
            expected=_EXPECTED,
            mend="lay the sheet on a plain table of another colour, away from its edge, and take the photo again",
        )
    corners = sheet.shape.corners
    lies = _lies_across(corners, paper_mm, picture.pixels.shape)
    side = min(length(corners[index] - corners[index - 1]) for index in range(4))
    sure = max(0.001, 3 * sheet.shape.left_px / side)
    return _warped(picture.pixels, sheet.shape, _turned(paper_mm, lies), ("paper", sure, sheet.seen))


def _is_paper_all_over(pixels: Pixels) -> bool:
    """Say whether the picture's border is as light as the rest: no table is seen, and no edge of a sheet."""
    height, width = pixels.shape[:2]
    deep = max(4, round(0.012 * min(height, width)))
    usual = np.median(pixels[::4, ::4], axis=(0, 1))
    border = (pixels[:deep, ::4], pixels[-deep:, ::4], pixels[::4, :deep], pixels[::4, -deep:])
    return all(np.abs(np.median(part, axis=(0, 1)) - usual).max() < _AS_LIGHT for part in border)


def _turned(paper_mm: tuple[float, float], lies: bool) -> tuple[float, float]:
    return (paper_mm[1], paper_mm[0]) if lies else paper_mm


def _area(corners: Points) -> float:
    x, y = corners.T
    return abs(float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum())) / 2


def _lies_across(corners: Points, paper_mm: tuple[float, float], shape: tuple[int, ...]) -> bool:
    """Say whether the sheet's long side runs across the photo.

    Of the two ways that it can lie, one fits a camera with square pixels better: for the right focal length, the
    first two columns of the homography are at right angles and of one length (Z. Zhang, 2000).
    """
    middle = np.array([shape[1] / 2, shape[0] / 2])
    unit = float(max(shape[:2]))
    misfits = []
    for lies in (False, True):
        matrix = homography(UNIT_SQUARE * _turned(paper_mm, lies), (corners - middle) / unit)
        best = np.inf
        for focal in np.geomspace(0.45, 6.0, 60):
            first, second = (matrix[:, index] / np.array([focal, focal, 1.0]) for index in (0, 1))
            long, wide = float(np.linalg.norm(first)), float(np.linalg.norm(second))
            best = min(best, (float(first @ second) / (long * wide)) ** 2 + (np.log(long / wide)) ** 2)
        misfits.append(best)
    return misfits[1] < misfits[0]


def _warped(
    pixels: Pixels, shape: SheetShape, size_mm: tuple[float, float], scale: tuple[ScaleSource, float, float]
) -> FlatSheet:
    """Give the sheet as it would lie flat, looked at from straight above."""
    px_per_mm = min(MOST_PX_PER_MM, (MOST_PIXELS / (size_mm[0] * size_mm[1])) ** 0.5)
    width, height = round(size_mm[0] * px_per_mm), round(size_mm[1] * px_per_mm)
    sides = np.array([size_mm[0] * px_per_mm, size_mm[1] * px_per_mm])
    paper = np.atleast_1d(np.median(pixels[::40, ::40].reshape(-1, *pixels.shape[2:]), axis=0)).astype(int).tolist()
    flat = Image.fromarray(pixels).transform(
        (width, height),
        Image.Transform.PERSPECTIVE if shape.is_flat else Image.Transform.MESH,
        homography(UNIT_SQUARE * sides, shape.corners).ravel()[:8].tolist()
        if shape.is_flat
        else _mesh(shape, (width, height), sides),
        Image.Resampling.BILINEAR,
        fillcolor=tuple(paper) if len(paper) > 1 else paper[0],
    )
    source, sure, seen = scale
    return FlatSheet(np.asarray(flat), px_per_mm, source, sure, seen)


def _mesh(shape: SheetShape, size: tuple[int, int], sides: Points) -> list[Any]:
    """Give the cells of a flat sheet, each with the four places of the photo that it shows."""
    x, y = (np.append(np.arange(0, side, _CELL), side) for side in size)
    grid = shape.seen(np.stack(np.meshgrid(x, y), axis=-1) / sides)
    cells = []
    for row in range(len(y) - 1):
        for column in range(len(x) - 1):
            box = (int(x[column]), int(y[row]), int(x[column + 1]), int(y[row + 1]))
            around = grid[[row, row + 1, row + 1, row], [column, column, column + 1, column + 1]]
            cells.append((box, tuple(around.ravel().tolist())))
    return cells
