"""Patterns by closed outlines, one a piece: a round of wavy cells, a scallop of radial pieces, a squared panel."""

from __future__ import annotations

import math

import numpy as np

from tests.benchmark.pen import Design, Point, arc, between, outline, ring, smooth, spot

# A whole round in hundredths of degrees: whole numbers, so that cells in and out of a ring share their corners.
ROUND = 36_000


def _polar(radius: float, degrees: float) -> Point:
    """Give a point round the middle, 0 straight up, in degrees clockwise."""
    return radius * math.sin(math.radians(degrees)), -radius * math.cos(math.radians(degrees))


def _wavy(chance: np.random.Generator, begin: Point, end: Point, swing: float) -> list[Point]:
    """Give the knots of an edge that wanders off its chord and back."""
    way = end[0] - begin[0], end[1] - begin[1]
    knots = [begin]
    for share, side in ((0.33, 1.0), (0.67, float(chance.choice((-1, 1))))):
        x, y = between(begin, end, share)
        off = side * swing * chance.uniform(0.5, 1.0)
        knots.append((x - way[1] * off, y + way[0] * off))
    return [*knots, end]


def roundel(chance: np.random.Generator) -> Design:
    """A round of wavy cells: a middle, and two or three rings of cells; 15 to 33 pieces."""
    cells = [int(chance.integers(5, 8)), int(chance.integers(9, 12))]
    if chance.random() < 0.4:
        cells.append(14)
    radii = [14.0 + 19 * at for at in range(len(cells) + 1)]
    spokes = [_turns(count, rank + 1 < len(cells) and rank % 2 == 0) for rank, count in enumerate(cells)]
    corners = [sorted({*one, *two}) for one, two in zip(([], *spokes), (*spokes, []), strict=True)]
    sides = {
        (rank, turn): _wavy(chance, _polar(radii[rank], turn / 100), _polar(radii[rank + 1], turn / 100), 0.09)
        for rank, around in enumerate(spokes)
        for turn in around
    }
    arcs = {
        (rank, turn): _bulged(radii[rank], turn / 100, after / 100, chance.uniform(-1.2, 2.0) * (after - turn) / 4000)
        for rank, around in enumerate(corners)
        for turn, after in _pairs(around)
    }
    pieces = [outline(_polar(radii[0], corners[0][0] / 100), [smooth(arcs[0, turn]) for turn in corners[0]], "heart")]
    for rank, around in enumerate(spokes):
        for turn, after in _pairs(around):
            outer, inner = _span(corners[rank + 1], turn, after), _span(corners[rank], turn, after)
            if rank + 1 < len(cells):
                over = [smooth(arcs[rank + 1, corner]) for corner in outer]
            else:
                over = [arc(radii[-1], _polar(radii[-1], after / 100))]
            back = [smooth(arcs[rank, corner][::-1]) for corner in reversed(inner)]
            parts = [smooth(sides[rank, turn]), *over, smooth(sides[rank, after % ROUND][::-1]), *back]
            word = ("inner", "outer", "rim")[rank]
            pieces.append(outline(sides[rank, turn][0], parts, word, 90 - (turn + after) / 200))
    box = 2 * radii[-1] + 8
    words = ("heart", "inner", "outer", "rim")[: len(cells) + 1]
    return Design(-box / 2, -box / 2, box, box, 2 * radii[-1], (*pieces, ring(_polar(radii[-1], 0))), words)


def _turns(count: int, half: bool) -> list[int]:
    """Divide a round evenly, from straight up or half a step beside it; in hundredths of degrees."""
    return [round(ROUND * (at + half / 2) / count) for at in range(count)]


def _pairs(around: list[int]) -> list[tuple[int, int]]:
    """Give each turn and the next one; the last one's next lies past a whole round."""
    return list(zip(around, (*around[1:], around[0] + ROUND), strict=True))


def _span(corners: list[int], begin: int, end: int) -> list[int]:
    """Give the corners from one turn up to another, the last left out."""
    return [corner % ROUND for corner in (*corners, *(corner + ROUND for corner in corners)) if begin <= corner < end]


def _bulged(radius: float, begin: float, end: float, bulge: float) -> list[Point]:
    """Give the knots of an edge along a round, in degrees, that stands out in its middle by ``bulge`` mm."""
    return [_polar(radius, begin), _polar(radius + bulge, (begin + end) / 2), _polar(radius, end)]


def scallop(chance: np.random.Generator) -> Design:
    """A scallop: six to ten ribs in two or three bands over a hinge; 13 to 31 pieces."""
    ribs, bands = 2 * int(chance.integers(3, 6)), int(chance.integers(2, 4))
    spread = chance.uniform(68, 80)
    radii = [26.0 + at * (70.0 if bands == 2 else 90.0) / bands for at in range(bands + 1)]
    turns = [-spread + 2 * spread * at / ribs for at in range(ribs + 1)]
    bulge = [0.3, *(chance.uniform(2, 4) for _ in radii[1:])]
    pieces = []

    def across(rank: int, at: int) -> list[Point]:
        return _bulged(radii[rank], turns[at], turns[at + 1], bulge[rank])

    for rank in range(bands):
        for at in range(ribs):
            lower, upper = across(rank, at), across(rank + 1, at)
            parts = [f"L{spot(upper[0])}", smooth(upper), f"L{spot(lower[-1])}", smooth(lower[::-1])]
            word = ("heart", "band", "edge")[rank + 3 - bands]
            pieces.append(outline(lower[0], parts, word, 90 - (turns[at] + turns[at + 1]) / 2))
    lowest = [across(0, at) for at in range(ribs)]
    first, last, foot = lowest[0][0], lowest[-1][-1], chance.uniform(8, 13)
    ears = [(last[0] * 1.15, foot), (-last[0] * 1.15, foot), first]
    pieces.append(outline(first, [*map(smooth, lowest), *(f"L{spot(ear)}" for ear in ears)], "ear", 0))
    half, tall = radii[-1] + 8, radii[-1] + foot + 12
    words = ("heart", "band", "edge", "ear") if bands == 3 else ("band", "edge", "ear")
    return Design(-half, -tall + foot + 4, 2 * half, tall, 2 * radii[-1], (*pieces, ring(_polar(radii[-1], 0))), words)


def panel(chance: np.random.Generator) -> Design:
    """A squared panel of wavy cells with a straight rim; 12 to 40 pieces, on two rings."""
    columns, rows = int(chance.integers(3, 6)), int(chance.integers(4, 9))
    cell = chance.uniform(24, 28)

    def node(column: int, row: int) -> Point:
        x, y = column * cell, row * cell
        x += chance.uniform(-2, 2) if 0 < column < columns else 0
        y += chance.uniform(-2, 2) if 0 < row < rows else 0
        return x, y

    nodes = [[node(column, row) for row in range(rows + 1)] for column in range(columns + 1)]

    def edge(begin: Point, end: Point, straight: bool) -> list[Point]:
        return [begin, end] if straight else _wavy(chance, begin, end, 0.07)

    flat = [[edge(nodes[i][j], nodes[i + 1][j], j in (0, rows)) for j in range(rows + 1)] for i in range(columns)]
    upright = [[edge(nodes[i][j], nodes[i][j + 1], i in (0, columns)) for j in range(rows)] for i in range(columns + 1)]
    pieces = []
    for i in range(columns):
        for j in range(rows):
            sides = (flat[i][j], upright[i + 1][j], flat[i][j + 1][::-1], upright[i][j][::-1])
            parts = [smooth(side) if len(side) > 2 else f"L{spot(side[-1])}" for side in sides]
            border = i in (0, columns - 1) or j in (0, rows - 1)
            word = "border" if border else "light" if (i + j) % 2 else "field"
            pieces.append(outline(nodes[i][j], parts, word, 0 if j in (0, rows - 1) else 90))
    rings = (ring(nodes[1][0]), ring(nodes[columns - 1][0]))
    return Design(
        -4, -4, columns * cell + 8, rows * cell + 8, columns * cell, (*pieces, *rings), ("border", "light", "field")
    )
