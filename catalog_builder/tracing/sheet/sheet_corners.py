"""Where the corners of a sheet of paper lie in a photo, to a part of a pixel."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from PIL import Image

from catalog_builder.tracing.arrays import Pixels, Points, length
from catalog_builder.tracing.sheet.bright_areas import quadrilaterals
from catalog_builder.tracing.sheet.edge_line import EdgeLine, Search, corners_between, edge_along
from catalog_builder.tracing.sheet.sheet_contrast import PictureChannel, channels_of
from catalog_builder.tracing.sheet.sheet_shape import SheetShape, shape_of
from catalog_builder.tracing.sheet.straight_lines import quadrilaterals_of_lines

# The long edge of the small picture in which a sheet is looked for.
_SMALL = 900
# A quadrilateral that is seen so well needs no rival; one that is seen less is compared with straight lines.
_CLEAR, _WEAK = 1.24, 1.05
_COARSE = Search(reach=12, samples=120, smooth=0.8)
_COARSE_LINES = Search(reach=6, samples=120, smooth=0.8)
_FINE = (Search(reach=14, samples=400), Search(reach=7, samples=400))
# Lenses bow an edge by tens of pixels; so far off it is looked for.
_BOWED = Search(reach=40, samples=400, bow=16)
# How much longer an edge of a sheet may be seen than the opposite one. A sheet tilted by 55 degrees, its middle as far
# away as one and a half times its length, has (1.5 + sin(55)/2) / (1.5 - sin(55)/2) = 1.75.
_FORESHORTENED = 2.5


@dataclass(frozen=True, slots=True)
class FoundSheet:
    """How a sheet lies in a photo, first its corner at the top left; ``seen`` is the share of its weakest side."""

    shape: SheetShape
    seen: float


def find_sheet(pixels: Pixels) -> FoundSheet | None:
    """Find a sheet of paper in a photo; None where none is seen."""
    height, width = pixels.shape[:2]
    times = min(1.0, _SMALL / max(height, width))
    small = np.asarray(
        Image.fromarray(pixels).resize((round(width * times), round(height * times)), Image.Resampling.BOX)
    )
    coarse = _best(small)
    if coarse is None:
        return None
    channel, corners = coarse
    return _refined(pixels, channel, corners / times)


@dataclass(frozen=True, slots=True)
class _Seen:
    """A candidate: how well it is seen, in which channel, and its corners."""

    score: float
    channel: PictureChannel
    corners: Points


def _best(small: Pixels) -> tuple[PictureChannel, Points] | None:
    best: _Seen | None = None
    channels = channels_of(small)
    for candidate in _candidates(small, channels):
        if best is None or candidate.score > best.score + 0.02:
            best = candidate
        if best.score >= _CLEAR:
            break
    if best is None or best.score < _WEAK:
        for channel in channels:
            for lines in quadrilaterals_of_lines(channel.of(small)):
                seen = _seen(small, channel, lines.corners, _COARSE_LINES)
                if seen is not None and (best is None or seen.score > best.score + 0.05):
                    best = seen
            if best is not None and best.score >= _CLEAR:
                break
    return (best.channel, best.corners) if best is not None else None


def _candidates(small: Pixels, channels: list[PictureChannel]) -> Iterator[_Seen]:
    tried: set[tuple[int, ...]] = set()
    for index, channel in enumerate(channels):
        for corners in quadrilaterals(channel.of(small), both_ways=index > 0):
            key = (index, *np.round(corners.ravel() / 6).astype(int).tolist())
            seen = None if key in tried else _seen(small, channel, corners, _COARSE)
            tried.add(key)
            if seen is not None:
                yield seen


def _edges(pixels: Pixels, channel: PictureChannel, corners: Points, search: Search) -> list[EdgeLine] | None:
    edges = [edge_along(pixels, channel, (corners[index], corners[(index + 1) % 4]), search) for index in range(4)]
    known = [edge for edge in edges if edge is not None]
    return known if len(known) == 4 else None


def _seen(small: Pixels, channel: PictureChannel, corners: Points, search: Search) -> _Seen | None:
    edges = _edges(small, channel, corners, search)
    exact = corners_between(edges) if edges else None
    if edges is None or exact is None or not may_be_a_sheet(exact):
        return None
    shares = [edge.seen for edge in edges]
    return _Seen(min(shares) + 0.3 * float(np.mean(shares)), channel, exact)


def _refined(pixels: Pixels, channel: PictureChannel, corners: Points) -> FoundSheet | None:
    """Find the edges in the photo itself, and how its lens bows them."""
    edges: list[EdgeLine] | None = None
    for search in _FINE:
        edges = _edges(pixels, channel, corners, search)
        exact = corners_between(edges) if edges else None
        if edges is None or exact is None:
            return None
        corners = exact
    assert edges is not None  # noqa: S101 - for the type checker: there is more than one search
    wide = _edges(pixels, channel, corners, _BOWED)
    if wide is not None and min(edge.seen for edge in wide) > 0.5:
        edges = wide
    turned = _clockwise(corners)
    ordered = [min(edges, key=lambda edge: _apart(edge, turned, index)) for index in range(4)]
    shape = shape_of(turned, [edge.points for edge in ordered], pixels.shape)
    return FoundSheet(shape, min(edge.seen for edge in edges))


def may_be_a_sheet(corners: Points) -> bool:
    """Say whether a camera can see a rectangle so: turning one way all round, and not foreshortened beyond reason."""
    sides = np.roll(corners, -1, axis=0) - corners
    following = np.roll(sides, -1, axis=0)
    turns = sides[:, 0] * following[:, 1] - sides[:, 1] * following[:, 0]
    lengths = np.hypot(*sides.T)
    opposite = np.roll(lengths, 2)
    return bool((np.sign(turns) == np.sign(turns[0])).all() and (lengths <= _FORESHORTENED * opposite).all())


def _apart(edge: EdgeLine, corners: Points, index: int) -> float:
    """Give how far the middle of an edge lies from that of a side between corners."""
    sides = (corners[index] + corners[(index + 1) % 4]) / 2
    return length((edge.begin + edge.end) / 2 - sides)


def _clockwise(corners: Points) -> Points:
    """Give corners clockwise as seen, the one nearest to the top left first."""
    x, y = corners.T
    turned = corners if float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum()) > 0 else corners[::-1]
    return np.roll(turned, -int(turned.sum(axis=1).argmin()), axis=0)
