"""The borders between fields as chains of pixel corners, from one junction to the next."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog_builder.tracing.arrays import Labels, Points
from catalog_builder.tracing.ink.field_map import BEYOND_FOLD, OUTSIDE

# Ways out of a pixel's corner, as bits, and the bit by which the next corner is come into.
_RIGHT, _DOWN, _LEFT, _UP = 1, 2, 4, 8
_BACK = {_RIGHT: _LEFT, _DOWN: _UP, _LEFT: _RIGHT, _UP: _DOWN}


@dataclass(frozen=True, slots=True)
class BorderChain:
    """A border in pixels, shape (n, 2), between the junctions ``begin`` and ``end``; None where it is a closed loop.

    ``on_fold`` is for the bits where a field is cut by the fold.
    """

    begin: int | None
    end: int | None
    points: Points
    on_fold: bool

    @property
    def closed(self) -> bool:
        """Whether it runs round without meeting another."""
        return self.begin is None


def border_chains(labels: Labels) -> list[BorderChain]:
    """Give all borders of the fields of a map."""
    rows, columns = np.nonzero(labels > 1)
    if len(rows) == 0:
        return []
    top, bottom = max(0, int(rows.min()) - 2), int(rows.max()) + 3
    left, right = max(0, int(columns.min()) - 2), int(columns.max()) + 3
    part = labels[top:bottom, left:right]
    ways = _ways(part)
    wide = ways.shape[1]
    chains = _followed(ways, {_RIGHT: 1, _DOWN: wide, _LEFT: -1, _UP: -wide})
    result = []
    for chain, is_loop in chains:
        down, across = np.divmod(np.array(chain), wide)
        points = np.stack([across + left, down + top], axis=1).astype(float)
        sides = _sides(labels, points)
        if sides.max() <= OUTSIDE:
            continue
        on_fold = float((sides == BEYOND_FOLD).any(axis=0).mean()) > 0.9
        begin, end = (None, None) if is_loop else (_key(points[0]), _key(points[-1]))
        result.append(BorderChain(begin, end, points, on_fold))
    return result


def _key(point: Points) -> int:
    return int(point[1]) * 100_000 + int(point[0])


def _ways(part: Labels) -> Labels:
    height, width = part.shape
    ways = np.zeros((height + 1, width + 1), dtype=np.int32)
    level = part[1:] != part[:-1]
    ways[1:height, :width][level] |= _RIGHT
    ways[1:height, 1:][level] |= _LEFT
    upright = part[:, 1:] != part[:, :-1]
    ways[:height, 1:width][upright] |= _DOWN
    ways[1:, 1:width][upright] |= _UP
    return ways


def _followed(ways: Labels, step: dict[int, int]) -> list[tuple[list[int], bool]]:
    """Follow each border once; gives the corners as indices of the flat grid, and whether it is a loop."""
    count = np.array([bin(code).count("1") for code in range(16)])[ways.ravel()]
    junctions = np.flatnonzero(count > 2).tolist()
    is_junction = set(junctions)
    left = ways.ravel().tolist()

    def follow(corner: int) -> list[int]:
        path = [corner]
        while left[corner] and (len(path) == 1 or corner not in is_junction):
            way = left[corner] & -left[corner]
            left[corner] &= ~way
            corner += step[way]
            left[corner] &= ~_BACK[way]
            path.append(corner)
        return path

    chains = []
    for corner in junctions:
        while left[corner]:
            chains.append((follow(corner), False))
    chains.extend((follow(corner), True) for corner in np.flatnonzero(count == 2).tolist() if left[corner])
    return chains


def _sides(labels: Labels, points: Points) -> Labels:
    """Give the fields on both sides of some steps of a chain, shape (2, n); outside of the map they are zero."""
    steps = np.arange(len(points) - 1)[:: max(1, len(points) // 20)]
    middle = (points[steps] + points[steps + 1]) / 2
    along = points[steps + 1] - points[steps]
    across = np.stack([-along[:, 1], along[:, 0]], axis=1) / 2
    sides = []
    for side in (across, -across):
        cells = np.floor(middle + side).astype(int)
        inside = (cells >= 0).all(axis=1) & (cells < np.array(labels.shape)[::-1]).all(axis=1)
        values = labels[np.clip(cells[:, 1], 0, labels.shape[0] - 1), np.clip(cells[:, 0], 0, labels.shape[1] - 1)]
        sides.append(np.where(inside, values, 0))
    return np.array(sides, dtype=np.int32)
