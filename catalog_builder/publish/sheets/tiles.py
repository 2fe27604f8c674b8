"""A drawing at true scale laid over sheets of paper: tiles that overlap, and the marks that bring them together.

All lengths are mm; a drawing's own place is measured from its upper left corner, y downwards.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from catalog_builder.records.studio_tables.paper import PAPERS_MM, Paper

# What home printers leave blank at an edge, by common practice, no source: 3 to 12.
MARGIN_MM = 12.0
# Above the drawing stands its title, below it the check bar and the key.
HEAD_MM = 12.0
FOOT_MM = 16.0
OVERLAP_MM = 10.0
# A strip narrower than this is not worth a sheet of its own: the others give up some of theirs.
LEAST_MM = 40.0


@dataclass(frozen=True, slots=True)
class Tile:
    """The part of a drawing that one sheet shows. Rows and columns count from 1."""

    row: int
    column: int
    left: float
    top: float
    width: float
    height: float

    def holds(self, left: float, top: float, right: float, bottom: float) -> bool:
        """True where a box of the drawing lies wholly on the tile."""
        return (
            self.left <= left
            and right <= self.left + self.width
            and self.top <= top
            and bottom <= self.top + self.height
        )


@dataclass(frozen=True, slots=True)
class TileJoin:
    """Where a tile meets a neighbour: a straight line in the middle of their overlap, and the neighbour's place."""

    row: int
    column: int
    upright: bool
    at: float
    begin: float
    end: float


@dataclass(frozen=True, slots=True)
class Tiling:
    """A drawing's tiles in reading order, and the sheet they are printed on."""

    paper_width: float
    paper_height: float
    rows: int
    columns: int
    tiles: tuple[Tile, ...]

    def joins(self, tile: Tile) -> Iterator[TileJoin]:
        """Give the lines along which a tile meets its neighbours: left, right, above and below."""
        right, bottom, half = tile.left + tile.width, tile.top + tile.height, OVERLAP_MM / 2
        if tile.column > 1:
            yield TileJoin(tile.row, tile.column - 1, True, tile.left + half, tile.top, bottom)
        if tile.column < self.columns:
            yield TileJoin(tile.row, tile.column + 1, True, right - half, tile.top, bottom)
        if tile.row > 1:
            yield TileJoin(tile.row - 1, tile.column, False, tile.top + half, tile.left, right)
        if tile.row < self.rows:
            yield TileJoin(tile.row + 1, tile.column, False, bottom - half, tile.left, right)

    def crosses(self, tile: Tile) -> list[tuple[float, float]]:
        """Give the register marks on a tile: on each join near both ends and in the middle, the same on both sheets."""
        places = set()
        for join in self.joins(tile):
            half = OVERLAP_MM / 2
            for along in (join.begin + half, (join.begin + join.end) / 2, join.end - half):
                x, y = (join.at, along) if join.upright else (along, join.at)
                places.add((round(x, 2), round(y, 2)))
        return sorted(places)


def lay_tiles(width: float, height: float, paper: Paper) -> Tiling:
    """Lay a drawing over as few sheets as hold it, upright if that takes no more than lying.

    The first sheets are filled, so that as few pieces as may be lie across a join; all overlap by ``OVERLAP_MM``.
    """
    upright = PAPERS_MM[paper]
    return min(
        (_tiling(width, height, sheet) for sheet in (upright, upright[::-1])), key=lambda tiling: len(tiling.tiles)
    )


def _tiling(width: float, height: float, sheet: tuple[float, float]) -> Tiling:
    columns = _parted(width, sheet[0] - 2 * MARGIN_MM)
    rows = _parted(height, sheet[1] - 2 * MARGIN_MM - HEAD_MM - FOOT_MM)
    tiles = tuple(
        Tile(row, column, left, top, across, down)
        for row, (top, down) in enumerate(rows, 1)
        for column, (left, across) in enumerate(columns, 1)
    )
    return Tiling(*sheet, len(rows), len(columns), tiles)


def _parted(whole: float, room: float) -> list[tuple[float, float]]:
    """Part a length into stretches that overlap and are no longer than the room: where each begins, and its length."""
    count = max(1, math.ceil(round((whole - OVERLAP_MM) / (room - OVERLAP_MM), 9)))
    if count == 1:
        return [(0.0, whole)]
    last = max(whole - (count - 1) * (room - OVERLAP_MM), LEAST_MM)
    step = (whole - last) / (count - 1)
    lengths = [step + OVERLAP_MM] * (count - 1) + [last]
    return [(round(index * step, 2), round(length, 2)) for index, length in enumerate(lengths)]
