"""Quadrilaterals of long straight lines, for a sheet on a table that is as light as itself (P. Hough, 1962)."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from catalog_builder.tracing.arrays import Mask, Points

_MOST_LINES = 18
_ANGLES = 360
# Lines of the drawing are narrower than this, in pixels of the small picture.
_THIN = 9
_MOST_QUADRILATERALS = 6


@dataclass(frozen=True, slots=True)
class ScoredCorners:
    """Corners of a quadrilateral, shape (4, 2), and how well its sides are seen."""

    score: float
    corners: Points


def quadrilaterals_of_lines(values: NDArray[np.float64]) -> list[ScoredCorners]:
    """Give the best few quadrilaterals whose sides lie on lines of steep change."""
    from scipy.ndimage import distance_transform_edt, gaussian_filter, maximum_filter, minimum_filter, sobel

    # Closed and opened, the picture has no thin line left, neither dark nor light: the drawing does not distract.
    closed = minimum_filter(maximum_filter(values, _THIN), _THIN)
    smooth = gaussian_filter(maximum_filter(minimum_filter(closed, _THIN), _THIN), 1.6)
    across, down = sobel(smooth, axis=1), sobel(smooth, axis=0)
    steep = np.hypot(across, down)
    high = float(np.percentile(steep, 97))
    if high < 1:
        return []
    edges = _thin_edges(steep, across, down, 0.35 * high, 0.6 * high)
    lines = _lines(edges, across, down)
    quadrilaterals = _quadrilaterals(lines, values.shape)
    near: Points = distance_transform_edt(~edges)
    scored = [ScoredCorners(_score(corners, near), corners) for corners in quadrilaterals]
    return sorted(scored, key=lambda each: -each.score)[:_MOST_QUADRILATERALS]


def _thin_edges(steep: Points, across: Points, down: Points, low: float, high: float) -> Mask:
    """Give ridges of steepness that are connected to a strong one (J. Canny, 1986)."""
    from scipy.ndimage import label

    sector = np.round(np.arctan2(down, across) / (np.pi / 4)).astype(int) % 4
    padded = np.pad(steep, 1)
    height, width = steep.shape
    ridge = np.zeros(steep.shape, dtype=bool)
    for index, (x, y) in enumerate(((1, 0), (1, 1), (0, 1), (-1, 1))):
        ahead = padded[1 + y : 1 + y + height, 1 + x : 1 + x + width]
        behind = padded[1 - y : 1 - y + height, 1 - x : 1 - x + width]
        ridge |= (sector == index) & (steep >= ahead) & (steep > behind)
    ridge &= steep > low
    labels, count = label(ridge, np.ones((3, 3)))
    strong = np.zeros(count + 1, dtype=bool)
    strong[labels[ridge & (steep > high)]] = True
    strong[0] = False
    return np.asarray(strong[labels])


def _lines(edges: Mask, across: Points, down: Points) -> list[tuple[float, float]]:
    """Give the lines that most edges lie on, as distance from the corner and angle of the normal.

    Each edge votes for the angles near its own slope alone.
    """
    height, width = edges.shape
    y, x = np.nonzero(edges)
    if len(x) == 0:
        return []
    own = np.round(np.arctan2(down[y, x], across[y, x]) % np.pi / np.pi * _ANGLES).astype(int)
    far = int(np.hypot(width, height)) + 2
    votes = np.zeros((_ANGLES, 2 * far), dtype=np.int64)
    for turn in range(-8, 9):
        angle = (own + turn) % _ANGLES
        theta = angle * np.pi / _ANGLES
        distance = np.round((x + 0.5) * np.cos(theta) + (y + 0.5) * np.sin(theta)).astype(int) + far
        votes += np.bincount(angle * 2 * far + distance, minlength=votes.size).reshape(votes.shape)
    votes[:, 1:] += votes[:, :-1]
    least = 0.16 * min(height, width)
    lines: list[tuple[float, float]] = []
    most = np.argpartition(votes, -4000, axis=None)[-4000:]
    order = most[np.argsort(votes.ravel()[most])[::-1]]
    for angle, distance in zip(*np.unravel_index(order, votes.shape), strict=True):
        if votes[angle, distance] < least or len(lines) >= _MOST_LINES:
            break
        slant, away = float(angle) * np.pi / _ANGLES, float(distance) - far - 0.5
        if all(abs(abs(away) - abs(r)) > 14 or abs(np.sin(slant - t)) > 0.06 for r, t in lines):
            lines.append((away, slant))
    return lines


def _quadrilaterals(lines: list[tuple[float, float]], shape: tuple[int, ...]) -> list[Points]:
    """Give the quadrilaterals of two pairs of nearly parallel lines that fill enough of the picture."""
    height, width = shape
    pairs = [pair for pair in combinations(lines, 2) if abs(np.sin(pair[0][1] - pair[1][1])) < 0.5]
    chosen = [
        (first, second) for first, second in combinations(pairs, 2) if abs(np.sin(first[0][1] - second[0][1])) > 0.7
    ]
    if not chosen:
        return []
    sides = np.array([[first[0], second[0], first[1], second[1]] for first, second in chosen])
    following = np.roll(sides, -1, axis=1)
    r, t, s, u = sides[..., 0], sides[..., 1], following[..., 0], following[..., 1]
    turn = np.sin(u - t)
    turn = np.where(np.abs(turn) < 1e-3, 1e-3, turn)
    corners = np.stack([(r * np.sin(u) - s * np.sin(t)) / turn, (s * np.cos(t) - r * np.cos(u)) / turn], axis=-1)
    x, y = corners[..., 0], corners[..., 1]
    area = np.abs((x * np.roll(y, -1, axis=1) - np.roll(x, -1, axis=1) * y).sum(axis=1)) / 2
    margin = 0.3 * min(height, width)
    inside = (corners > -margin).all(axis=(1, 2)) & (x < 1.3 * width).all(axis=1) & (y < 1.3 * height).all(axis=1)
    good = inside & (area > 0.15 * height * width) & (area < height * width)
    largest = np.argsort(-area[good])[:600]
    return list(corners[good][largest])


def _score(corners: Points, near: Points) -> float:
    """Say how much of its sides a quadrilateral has on edges, the weakest side first, larger ones preferred."""
    height, width = near.shape
    share = np.linspace(0.04, 0.96, 80)[None, :, None]
    places = corners[:, None] + share * (np.roll(corners, -1, axis=0) - corners)[:, None]
    inside = (places > 3).all(axis=2) & (places < np.array([width - 4, height - 4])).all(axis=2)
    cells = np.clip(places, 0, [width - 1, height - 1]).astype(int)
    hits = (near[cells[..., 1], cells[..., 0]] < 2) & inside
    seen = np.where(inside.sum(axis=1) > 20, hits.sum(axis=1) / np.maximum(inside.sum(axis=1), 1), 0)
    x, y = corners.T
    area = abs(float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum())) / 2
    return float(seen.min() + 0.3 * seen.mean() + 0.4 * area / (height * width))
