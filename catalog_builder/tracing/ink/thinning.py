"""Lines thinned to one pixel (Z. Guo and R. W. Hall, 1989), and the ends of what is left."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from catalog_builder.tracing.arrays import Mask

# Neighbours clockwise from above: row and column.
_AROUND = ((-1, 0), (-1, 1), (0, 1), (1, 1), (1, 0), (1, -1), (0, -1), (-1, -1))


def _removable(step: int) -> NDArray[np.bool_]:
    """Give for each pattern of eight neighbours whether the middle may go, in one of the two steps."""
    table = np.zeros(256, dtype=bool)
    for code in range(256):
        n, ne, e, se, s, sw, w, nw = (bool(code >> bit & 1) for bit in range(8))
        parts = (not n and (ne or e)) + (not e and (se or s)) + (not s and (sw or w)) + (not w and (nw or n))
        count = min((nw or n) + (ne or e) + (se or s) + (sw or w), (n or ne) + (e or se) + (s or sw) + (w or nw))
        keeps = ((s or sw or not nw) and w) if step == 0 else ((n or ne or not se) and e)
        table[code] = parts == 1 and 2 <= count <= 3 and not keeps
    return table


_TABLES = (_removable(0), _removable(1))


def thinned(mask: Mask) -> Mask:
    """Thin lines to one pixel, connected as before; looks at their pixels alone."""
    height, width = mask.shape
    padded = np.zeros((height + 2, width + 2), dtype=np.uint8)
    padded[1:-1, 1:-1] = mask
    flat = padded.ravel()
    offsets = np.array([row * (width + 2) + column for row, column in _AROUND])
    alive = np.flatnonzero(flat)
    while True:
        before = len(alive)
        for table in _TABLES:
            code = np.zeros(len(alive), dtype=np.uint8)
            for bit, offset in enumerate(offsets):
                code |= flat[alive + offset] << np.uint8(bit)
            goes = table[code]
            flat[alive[goes]] = 0
            alive = alive[~goes]
        if len(alive) == before:
            return padded[1:-1, 1:-1].astype(bool)


Stop: TypeAlias = Literal["junction", "length", "end"]


@dataclass(frozen=True, slots=True)
class LineEnd:
    """The end of a thinned line: its path of (row, column) from the end inwards, and why that stops."""

    path: tuple[tuple[int, int], ...]
    stop: Stop


def line_ends(thin: Mask, burr: int, longest: int) -> list[LineEnd]:
    """Give the ends of thinned lines, each followed for up to ``longest`` pixels or to the next junction.

    What ends within ``burr`` pixels of a junction is a burr of the thinning and is taken off first, as the two burrs of
    a round line end hide it.
    """
    left = {(int(row), int(column)) for row, column in np.argwhere(thin)}
    for _ in range(2):
        # All at once: of two burrs that fork, the second would else go on as the line.
        lines = [_followed(pixel, left, burr + 1) for pixel in _single(left)]
        for line in lines:
            if line.stop == "junction" and len(line.path) <= burr:
                left.difference_update(line.path[:-1])
    return [_followed(pixel, left, longest) for pixel in _single(left)]


def _single(left: set[tuple[int, int]]) -> list[tuple[int, int]]:
    """Give the pixels at the ends of lines: with one neighbour, or with two that touch and lead on as one."""
    if not left:
        return []
    pixels = np.array(sorted(left))
    rows, columns = pixels.T + 1
    line = np.zeros(pixels.max(axis=0) + 3, dtype=bool)
    line[rows, columns] = True
    around = np.array([line[rows + row, columns + column] for row, column in _AROUND])
    count = around.sum(axis=0)
    touch = (around & (np.roll(around, 1, axis=0) | np.roll(around, 2, axis=0))).any(axis=0)
    may_end = pixels[(count == 1) | ((count == 2) & touch)].tolist()
    return [(row, column) for row, column in may_end if _is_end((row, column), left)]


def _is_end(pixel: tuple[int, int], left: set[tuple[int, int]]) -> bool:
    around = _neighbours(pixel, left)
    return len(around) == 1 or (len(around) == 2 and _lead_on_as_one(around, {pixel}, left))


def _neighbours(pixel: tuple[int, int], left: set[tuple[int, int]]) -> list[tuple[int, int]]:
    around = [(pixel[0] + row, pixel[1] + column) for row, column in _AROUND]
    return [each for each in around if each in left]


def _followed(end: tuple[int, int], left: set[tuple[int, int]], longest: int) -> LineEnd:
    path, seen = [end], {end}
    while len(path) < longest:
        row, column = path[-1]
        ahead = [each for each in _neighbours(path[-1], left) if each not in seen]
        if not ahead:
            return LineEnd(tuple(path), "end")
        ahead.sort(key=lambda each: abs(each[0] - row) + abs(each[1] - column))
        # Two that touch may be a step of a slanting line; others are a junction.
        if len(ahead) > 2 or (len(ahead) == 2 and not _lead_on_as_one(ahead, seen, left)):
            return LineEnd(tuple(path), "junction")
        seen.update(ahead)
        path.append(ahead[0])
    return LineEnd(tuple(path), "length")


def _lead_on_as_one(ahead: list[tuple[int, int]], seen: set[tuple[int, int]], left: set[tuple[int, int]]) -> bool:
    """Say whether two pixels are of one line; at the tip of an acute corner they touch and lead apart."""
    (row, column), (other_row, other_column) = ahead
    if max(abs(row - other_row), abs(column - other_column)) > 1:
        return False
    first, second = (set(_neighbours(each, left)) - seen - set(ahead) for each in ahead)
    return not first or not second or bool(first & second)
