"""Sheets in photos: homographies, edges to a part of a pixel, the bow of a lens, and which way a sheet lies."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from catalog_builder.tracing.sheet.edge_line import corners_between
from catalog_builder.tracing.sheet.flat_sheet import _lies_across, homography, mapped
from catalog_builder.tracing.sheet.lens_bow import bow_of, bowed, straightened
from catalog_builder.tracing.sheet.sheet_corners import find_sheet


def test_a_homography_maps_the_unit_square_as_worked_out_by_hand() -> None:
    """P. Heckbert, Fundamentals of Texture Mapping (1989), 2.2.3: (0 0, 1 0, 1 1, 0 1) onto a trapezium.

    For the images (0 0), (2 0), (1.5 1), (0.5 1): sum x = 0 - 2 + 1.5 - 0.5 = -1, sum y = 0; g = 0, h = 1 by his
    determinants, so that the middle of the square goes to ((2 * 0.5 + 0.5) / 1.5, 2 * 0.5 / 1.5) = (1, 2/3).
    """
    square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    images = np.array([[0.0, 0.0], [2.0, 0.0], [1.5, 1.0], [0.5, 1.0]])
    matrix = homography(square, images)
    assert matrix[2] == pytest.approx([0.0, 1.0, 1.0])
    assert mapped(matrix, square) == pytest.approx(images)
    assert mapped(matrix, np.array([[0.5, 0.5]]))[0] == pytest.approx([1.0, 2 / 3])


def photo_of_sheet(corners: np.ndarray[tuple[int, ...], np.dtype[np.float64]], size: tuple[int, int]) -> Image.Image:
    """A white sheet on a dark table, its corners anywhere in the photo; smooth edges by drawing it four times as large."""
    from PIL import ImageDraw

    large = Image.new("RGB", (size[0] * 4, size[1] * 4), (70, 60, 50))
    ImageDraw.Draw(large).polygon([tuple(corner * 4) for corner in corners], fill=(240, 240, 235))
    return large.reduce(4)


def test_corners_are_found_to_a_part_of_a_pixel() -> None:
    """The corners of a tilted sheet on a darker table are where it was drawn."""
    corners = np.array([[180.4, 150.2], [760.7, 110.9], [820.3, 1010.6], [120.8, 960.3]])
    found = find_sheet(np.asarray(photo_of_sheet(corners, (900, 1200))))
    assert found is not None
    assert found.corners == pytest.approx(corners, abs=0.25)
    assert found.seen > 0.9
    assert found.bow == 0


def test_no_sheet_is_found_on_a_bare_table() -> None:
    """A picture of one colour with some grain has no sheet."""
    grain = np.random.default_rng(5).normal(120, 3, (900, 700, 3)).clip(0, 255).astype(np.uint8)
    found = find_sheet(grain)
    assert found is None or found.seen < 0.3


def test_a_lens_is_undone() -> None:
    """A place that is bowed and straightened is where it was; the four edges of a sheet give the coefficient."""
    shape = (3000, 4000)
    share = np.linspace(0, 1, 200)[:, None]
    corners = np.array([[300.0, 200.0], [3700.0, 300.0], [3600.0, 2800.0], [350.0, 2700.0]])
    edges = [corners[index - 1] + share * (corners[index] - corners[index - 1]) for index in range(4)]
    through_lens = [bowed(edge, 0.04, shape) for edge in edges]
    assert straightened(through_lens[0], 0.04, shape) == pytest.approx(edges[0], abs=1e-3)
    assert bow_of(through_lens, shape) == pytest.approx(0.04, abs=1e-4)
    assert bow_of(edges, shape) == 0


@pytest.mark.parametrize("lies", [False, True])
def test_a_tilted_sheet_is_told_upright_from_on_its_side(lies: bool) -> None:
    """At 40 degrees a letter sheet looks nearly square; the camera's own geometry tells how it lies."""
    width, height = (279.4, 215.9) if lies else (215.9, 279.4)
    tilt, focal, away = np.radians(40), 3000.0, 500.0
    places = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * [width / 2, height / 2]
    depth = away + places[:, 1] * np.sin(tilt)
    seen = focal * np.stack([places[:, 0], places[:, 1] * np.cos(tilt)], axis=1) / depth[:, None] + [1500, 2000]
    assert _lies_across(seen, (215.9, 279.4), (4000, 3000)) == lies


def test_parallel_edges_have_no_corner() -> None:
    """Four edges of which two that should meet are parallel give no sheet."""
    from catalog_builder.tracing.sheet.edge_line import EdgeLine

    line = EdgeLine(np.array([0.0, 0.0]), np.array([1.0, 0.0]), 1.0, 0.0, np.zeros((1, 2)))
    assert corners_between([line, line, line, line]) is None
