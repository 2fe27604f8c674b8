"""Sheets in photos: homographies, edges to a part of a pixel, the bow of a lens, and which way a sheet lies."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from catalog_builder.tracing.sheet.edge_line import corners_between
from catalog_builder.tracing.sheet.flat_sheet import _lies_across
from catalog_builder.tracing.sheet.lens_bow import bowed
from catalog_builder.tracing.sheet.projection_matrix import homography
from catalog_builder.tracing.sheet.sheet_corners import find_sheet, may_be_a_sheet
from catalog_builder.tracing.sheet.sheet_shape import UNIT_SQUARE, SheetShape, shape_of


def test_a_homography_maps_the_unit_square_as_worked_out_by_hand() -> None:
    """P. Heckbert, Fundamentals of Texture Mapping (1989), 2.2.3: (0 0, 1 0, 1 1, 0 1) onto a trapezium.

    For the images (0 0), (2 0), (1.5 1), (0.5 1): sum x = 0 - 2 + 1.5 - 0.5 = -1, sum y = 0; g = 0, h = 1 by his
    determinants, so that the middle of the square goes to ((2 * 0.5 + 0.5) / 1.5, 2 * 0.5 / 1.5) = (1, 2/3).
    """
    square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    images = np.array([[0.0, 0.0], [2.0, 0.0], [1.5, 1.0], [0.5, 1.0]])
    matrix = homography(square, images)
    assert matrix[2] == pytest.approx([0.0, 1.0, 1.0])
    for place, image in zip([*square, [0.5, 0.5]], [*images, [1.0, 2 / 3]], strict=True):
        across, down, depth = matrix @ [*place, 1.0]
        assert (across / depth, down / depth) == pytest.approx(tuple(image))


def photo_of_sheet(corners: np.ndarray[tuple[int, ...], np.dtype[np.float64]], size: tuple[int, int]) -> Image.Image:
    """A white sheet on a dark table; its edges are smooth, as it is drawn four times as large."""
    from PIL import ImageDraw

    large = Image.new("RGB", (size[0] * 4, size[1] * 4), (70, 60, 50))
    ImageDraw.Draw(large).polygon([tuple(corner * 4) for corner in corners], fill=(240, 240, 235))
    return large.reduce(4)


def test_corners_are_found_to_a_part_of_a_pixel() -> None:
    """The corners of a tilted sheet on a darker table are where it was drawn."""
    corners = np.array([[180.4, 150.2], [760.7, 110.9], [820.3, 1010.6], [120.8, 960.3]])
    found = find_sheet(np.asarray(photo_of_sheet(corners, (900, 1200))))
    assert found is not None
    assert found.shape.corners == pytest.approx(corners, abs=0.25)
    assert found.seen > 0.9
    assert found.shape.is_flat


def test_no_sheet_is_found_on_a_bare_table() -> None:
    """A picture of one colour with some grain has no sheet."""
    grain = np.random.default_rng(5).normal(120, 3, (900, 700, 3)).clip(0, 255).astype(np.uint8)
    found = find_sheet(grain)
    assert found is None or found.seen < 0.3


PICTURE = (3000, 4000)
CORNERS = np.array([[300.0, 200.0], [3700.0, 300.0], [3600.0, 2800.0], [350.0, 2700.0]])


def edges_of(shape: SheetShape) -> list[np.ndarray[tuple[int, ...], np.dtype[np.float64]]]:
    """Points along the four edges of a sheet as they are seen."""
    share = np.linspace(0.03, 0.97, 200)[:, None]
    return [
        shape.seen(UNIT_SQUARE[index] + share * (UNIT_SQUARE[(index + 1) % 4] - UNIT_SQUARE[index]))
        for index in range(4)
    ]


def test_a_lens_bows_as_its_formula_says() -> None:
    """What is seen at p lies straight at p (1 + k r^2) from the middle, of 2000 x 1500, half a diagonal of 2500."""
    away = (bowed(CORNERS, 0.04, PICTURE) - [2000, 1500]) / 2500
    straight = away * (1 + 0.04 * (away**2).sum(axis=1))[:, None] * 2500 + [2000, 1500]
    assert straight == pytest.approx(CORNERS, abs=1e-3)


@pytest.mark.parametrize(("bow", "curl", "axis"), [(0.0, 0.0, 0), (0.04, 0.0, 0), (0.0, 0.01, 0), (0.0, -0.012, 1)])
def test_edges_tell_how_lens_and_paper_bend_them(bow: float, curl: float, axis: int) -> None:
    """A flat sheet, one through a bowing lens and two curled ones are told apart, and undone to a pixel."""
    truth = SheetShape(CORNERS, PICTURE, bow, curl, axis)
    found = shape_of(CORNERS + 3.0, edges_of(truth), PICTURE)
    inside = np.stack(np.meshgrid(np.linspace(0.1, 0.9, 5), np.linspace(0.1, 0.9, 5)), axis=-1)
    assert found.seen(inside) == pytest.approx(truth.seen(inside), abs=1.0)
    assert found.is_flat == truth.is_flat


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

    line = EdgeLine(np.array([0.0, 0.0]), np.array([1.0, 0.0]), 1.0, np.zeros((1, 2)))
    assert corners_between([line, line, line, line]) is None


@pytest.mark.parametrize(
    ("corners", "may"),
    [
        ([(0, 0), (210, 0), (210, 297), (0, 297)], True),
        # A sheet tilted by 55 degrees: its far edge is seen 1.75 times shorter than the near one, worked out by hand.
        ([(90, 100), (210, 100), (255, 250), (45, 250)], True),
        # Three times as long as its opposite: a line of the table was taken for an edge.
        ([(486, 2031), (3599, 645), (3629, 2694), (538, 2687)], False),
        # One corner inside the triangle of the others.
        ([(1695, 185), (2675, 145), (2636, 1302), (2253, 477)], False),
        # Edges that cross.
        ([(0, 0), (210, 297), (210, 0), (0, 297)], False),
    ],
)
def test_only_what_a_camera_can_see_of_a_rectangle_is_a_sheet(corners: list[tuple[float, float]], may: bool) -> None:
    """A sheet's corners turn one way all round, and its opposite edges are not beyond reason in length."""
    assert may_be_a_sheet(np.array(corners, dtype=np.float64)) == may
