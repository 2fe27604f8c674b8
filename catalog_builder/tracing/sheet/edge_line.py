"""The edge of a sheet, found to a part of a pixel near where it is supposed to be."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog_builder.tracing.arrays import Pixels, Points, length
from catalog_builder.tracing.sheet.sheet_contrast import PictureChannel

_TRIES = 200
_FEWEST = 10


@dataclass(frozen=True, slots=True)
class EdgeLine:
    """A straight edge from ``begin`` to ``end``; ``seen`` is the share of its samples that lie on it.

    ``points`` are the places of the edge itself.
    """

    begin: Points
    end: Points
    seen: float
    points: Points


@dataclass(frozen=True, slots=True)
class Search:
    """How an edge is looked for: up to ``reach`` px off, at ``samples`` places, bowed by up to ``bow`` px."""

    reach: float
    samples: int
    bow: float = 1.5
    smooth: float = 1.2


def edge_along(pixels: Pixels, channel: PictureChannel, ends: tuple[Points, Points], search: Search) -> EdgeLine | None:
    """Find the straight edge nearest to the line between two ends; None where there is none."""
    begin, end = ends
    far = length(end - begin)
    if far < 20:
        return None
    direction = (end - begin) / far
    normal = np.array([-direction[1], direction[0]])
    share = np.linspace(0.03, 0.97, search.samples)
    across = np.arange(-search.reach, search.reach + 1)
    places = begin + share[:, None, None] * (end - begin) + across[None, :, None] * normal
    inside = _inside(places, pixels)
    if inside.sum() < 2 * _FEWEST:
        return None
    share, places = share[inside], places[inside]
    off, strength = _steepest(channel.at(pixels, places), across, search.smooth)
    strong = strength > 0.25 * np.median(strength)
    line = _fit(share, off, strong, search.bow)
    if line is None:
        return None
    slope, start, good = line
    points = begin + share[good, None] * (end - begin) + off[good, None] * normal
    return EdgeLine(
        begin + start * normal,
        end + (start + slope) * normal,
        float(good.sum() / len(share)),
        points,
    )


def _inside(places: Points, pixels: Pixels) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    height, width = pixels.shape[:2]
    low, high = np.array([4.0, 4.0]), np.array([width - 4.0, height - 4.0])
    return np.asarray(((places > low) & (places < high)).all(axis=(1, 2)))


def _steepest(values: Points, across: Points, smooth: float) -> tuple[Points, Points]:
    """Give for each sample how far off the steepest step of the prevailing sign lies, and how steep it is."""
    from scipy.ndimage import gaussian_filter

    slopes = np.gradient(gaussian_filter(values, (1.5, smooth)), axis=1)
    slopes *= np.sign(np.median(slopes.sum(axis=1))) or 1.0
    best = slopes[:, 1:-1].argmax(axis=1) + 1
    row = np.arange(len(best))
    before, peak, after = slopes[row, best - 1], slopes[row, best], slopes[row, best + 1]
    bend = before - 2 * peak + after
    shift = np.where(np.abs(bend) > 1e-9, 0.5 * (before - after) / np.where(bend == 0, 1, bend), 0)
    return across[best] + np.clip(shift, -1, 1), peak


def _fit(
    share: Points, off: Points, strong: np.ndarray[tuple[int], np.dtype[np.bool_]], bow: float
) -> tuple[float, float, np.ndarray[tuple[int], np.dtype[np.bool_]]] | None:
    """Give slope and start of the line that most samples lie on, and which do."""
    pairs = np.random.default_rng(1).integers(0, len(share), (_TRIES, 2))
    pairs = pairs[np.abs(share[pairs[:, 0]] - share[pairs[:, 1]]) > 0.2]
    if len(pairs) == 0:
        return None
    slopes = (off[pairs[:, 1]] - off[pairs[:, 0]]) / (share[pairs[:, 1]] - share[pairs[:, 0]])
    starts = off[pairs[:, 0]] - slopes * share[pairs[:, 0]]
    rest = np.abs(off[None] - slopes[:, None] * share[None] - starts[:, None])
    best = int(((rest < bow) & strong).sum(axis=1).argmax())
    good = (rest[best] < 1.33 * bow) & strong
    slope, start = float(slopes[best]), float(starts[best])
    for _ in range(3):
        if good.sum() < _FEWEST:
            return None
        slope, start = (float(value) for value in np.polyfit(share[good], off[good], 1))
        away = np.abs(start + slope * share - off)
        good = (away < max(bow / 1.5, 2.5 * float(np.median(away[good])))) & strong
    return (slope, start, good) if good.sum() >= _FEWEST else None


def meeting(first: tuple[Points, Points], second: tuple[Points, Points]) -> Points | None:
    """Give where two lines through two points each meet; None where they are parallel."""
    matrix = np.array([first[1] - first[0], second[0] - second[1]]).T
    if abs(np.linalg.det(matrix)) < 1e-6:
        return None
    return np.asarray(first[0] + np.linalg.solve(matrix, second[0] - first[0])[0] * (first[1] - first[0]))


def corners_between(edges: list[EdgeLine]) -> Points | None:
    """Give the four corners where each edge meets the one before it, shape (4, 2); None where two are parallel."""
    corners = [
        meeting((edges[index - 1].begin, edges[index - 1].end), (edges[index].begin, edges[index].end))
        for index in range(4)
    ]
    known = [corner for corner in corners if corner is not None]
    return np.array(known) if len(known) == 4 else None
