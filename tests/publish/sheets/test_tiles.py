"""A drawing of any size is laid over sheets without a gap."""

from __future__ import annotations

from itertools import pairwise
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog_builder.publish.sheets.tiles import FOOT_MM, HEAD_MM, LEAST_MM, MARGIN_MM, OVERLAP_MM, lay_tiles

SIDES = st.floats(20, 1500)
PAPERS = st.sampled_from(["A4", "Letter"])


@given(SIDES, SIDES, PAPERS)
def test_tiles_cover_the_drawing(width: float, height: float, paper: Literal["A4", "Letter"]) -> None:
    """The tiles reach from edge to edge, each overlaps the next by the overlap, and each fits its sheet."""
    tiling = lay_tiles(width, height, paper)
    first_row = [tile for tile in tiling.tiles if tile.row == 1]
    first_column = [tile for tile in tiling.tiles if tile.column == 1]
    assert (len(first_row), len(first_column)) == (tiling.columns, tiling.rows)
    assert len(tiling.tiles) == tiling.rows * tiling.columns
    across = [(tile.left, tile.left + tile.width) for tile in first_row]
    down = [(tile.top, tile.top + tile.height) for tile in first_column]
    for whole, spans, room in (
        (width, across, tiling.paper_width - 2 * MARGIN_MM),
        (height, down, tiling.paper_height - 2 * MARGIN_MM - HEAD_MM - FOOT_MM),
    ):
        assert (spans[0][0], spans[-1][1]) == pytest.approx((0, whole), abs=0.02)
        for (_, end), (begin, _) in pairwise(spans):
            assert end - begin == pytest.approx(OVERLAP_MM, abs=0.02)
        assert all(end - begin <= room + 0.02 for begin, end in spans)
        assert len(spans) == 1 or min(end - begin for begin, end in spans) >= min(LEAST_MM, room) - 0.02


@given(st.floats(200, 1500), st.floats(200, 1500), st.floats(0, 1), st.floats(0, 1))
def test_a_box_smaller_than_the_overlap_lies_whole_on_a_tile(
    width: float, height: float, across: float, down: float
) -> None:
    """Wherever a number stands, one tile holds it whole; there is always a little white between it and the edge."""
    left, top = 1 + across * (width - 11), 1 + down * (height - 11)
    tiling = lay_tiles(width, height, "A4")
    assert any(tile.holds(left, top, left + 9, top + 9) for tile in tiling.tiles)


@pytest.mark.parametrize(
    ("width", "height", "lying", "sheets"),
    [(100, 140, False, 1), (180, 240, False, 1), (240, 150, True, 1), (230, 230, False, 2), (400, 400, False, 6)],
)
def test_sheets_are_few(width: float, height: float, lying: bool, sheets: int) -> None:
    """A drawing takes as few sheets of A4 as hold it; the paper lies only where that saves one."""
    tiling = lay_tiles(width, height, "A4")
    assert (tiling.paper_width > tiling.paper_height, len(tiling.tiles)) == (lying, sheets)
