"""Tipping, sling angles and bending against published examples and figures.

Sources: *Force: Center of gravity* of the course PHY1120 (quizover.com, after OpenStax), two boxes that tip at 45 and
14 degrees; a course problem quoted with its answer (jiskha.com, question 817030), a crate of 2.5 m with its centre of
gravity 19 cm above its middle, that stands on an incline of up to 41 degrees; the tension factors of a rigging
catalogue (sharrowlifting.com, Effects of sling angles); the shear force of magnets (supermagnete.hu, questions).
"""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from shapely import Point, Polygon

from catalog_builder.piece.balance import leg_pulls
from catalog_builder.piece.standing.footprint import Footprint
from catalog_builder.piece.standing.rod import bending_holds_nmm, leaning_nmm
from catalog_builder.piece.standing.tipping import STEADY_DEGREES, tipping
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.material import Material


def box(width: float, depth: float) -> Footprint:
    """A rectangle to stand on, its middle at 0, 0."""
    x, y = width / 2, depth / 2
    return Footprint(((-x, -y), (x, -y), (x, y), (-x, y)), (), on_edge=False)


@pytest.mark.parametrize(("half_base", "height", "degrees"), [(1, 1, 45), (1, 4, 14)])
def test_two_boxes(half_base: float, height: float, degrees: int) -> None:
    """A box whose centre lies as high as half its base is wide tips at 45 degrees, one four times as high at 14."""
    tips = tipping(box(2 * half_base, 9), (0, 0), height)
    assert round(tips.degrees) == degrees


def test_a_top_heavy_crate() -> None:
    """A cube of 2.5 m, its centre of gravity 19 cm above the middle, tips at 41 degrees: arctan(1.25 / 1.44)."""
    tips = tipping(box(2.5, 2.5), (0, 0), 2.5 / 2 + 0.19)
    assert round(tips.degrees) == 41
    assert tips.degrees == pytest.approx(math.degrees(math.atan(1.25 / 1.44)))


@pytest.mark.parametrize(("width", "height"), [(3, 4), (1, 2), (5, 12)])
def test_a_block_on_an_incline(width: float, height: float) -> None:
    """A uniform block tips where tan(theta) = width / height: a standard result of statics."""
    assert tipping(box(width, 100), (0, 0), height / 2).degrees == pytest.approx(
        math.degrees(math.atan(width / height))
    )


@pytest.mark.parametrize(
    ("centre", "side"), [((0, 20), "front"), ((0, -20), "back"), ((30, 0), "right"), ((-30, 0), "left")]
)
def test_it_tips_over_the_nearest_edge(centre: tuple[float, float], side: str) -> None:
    """The edge is the one that the weight lies nearest to, whichever way round the corners run."""
    on = box(80, 60)
    for each in (on, Footprint(on.corners[::-1], (), on_edge=False)):
        tips = tipping(each, centre, 50)
        assert tips.side == side
        assert tips.inside_mm == pytest.approx(10)


@pytest.mark.parametrize("turn", range(0, 360, 25))
def test_distances_by_a_geometry_library(turn: int) -> None:
    """The distance to the nearest edge is that of shapely, inside and, below zero, outside."""
    corners = tuple(
        (60 * math.cos(math.radians(turn + a)), 40 * math.sin(math.radians(turn + a))) for a in (0, 80, 140, 230)
    )
    area = Polygon(corners)
    for centre in ((0.0, 0.0), (5.0, 3.0), (70.0, 0.0)):
        inside, far = area.contains(Point(centre)), area.exterior.distance(Point(centre))
        tips = tipping(Footprint(corners, (), on_edge=False), centre, 30)
        assert (tips.inside_mm > 0) == inside
        if inside:
            assert tips.inside_mm == pytest.approx(far)


def test_the_least_angle_is_that_of_the_standards() -> None:
    """Household appliances stand on a plane of 10 degrees (IEC 60335-1, 20.1), candle holders too (ASTM F2601)."""
    assert STEADY_DEGREES == 10


# Tension in each leg for half of the load, by the leg's angle to the level: sling makers' tables.
SLINGS = [(90, 1.0), (75, 1.035), (60, 1.155), (55, 1.221), (45, 1.414), (40, 1.555), (35, 1.742), (30, 2.0)]


@pytest.mark.parametrize(("degrees", "factor"), SLINGS)
def test_sling_angles(degrees: int, factor: float) -> None:
    """Two equal legs pull with half of the load times the factor of their angle."""
    x, y = 100 * math.cos(math.radians(degrees)), 100 * math.sin(math.radians(degrees))
    # Upright legs meet nowhere: as good as upright is half a degree off.
    x = x if degrees < 90 else 100 * math.cos(math.radians(89.5))
    pulls = leg_pulls((-x, y), (x, y), (0, 0), (0, y + 50), 1000)
    assert pulls == pytest.approx((500 * factor,) * 2, rel=1e-3)


def test_a_sling_of_a_thousand_pounds() -> None:
    """At 45 degrees two legs under 10,000 lb pull with 7,070 lb each, at 60 degrees with 5,775 lb: the same tables."""
    for degrees, printed in ((45, 7070), (60, 5775)):
        x, y = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        assert leg_pulls((-x, y), (x, y), (0, 0), (0, 2), 10_000)[0] == pytest.approx(printed, rel=1e-3)


def test_a_magnet_slides_at_a_fifth_of_its_pull() -> None:
    """Sellers publish a shear force of 15 to 25 per cent of the pull; a load on a wall counts as five times itself."""
    assert 0.15 <= 1 / HardwareKind.MAGNET.factor_times <= 0.25


def test_a_round_bar_in_bending() -> None:
    """The section modulus of a round bar of 10 mm is 98.17 mm3 (pi d3 / 32; tables of sections, from memory)."""
    cells = {"material": "rod", "title": "Rod", "kind": "wire", "pack_size": Decimal(1), "pack_unit": "m"}
    rod = Material.model_validate({**cells, "diameter_mm": Decimal(10), "strength_mpa": Decimal(1)})
    assert bending_holds_nmm(rod) == pytest.approx(98.17, abs=0.01)
    assert bending_holds_nmm(rod.model_copy(update={"strength_mpa": None})) is None


def test_a_leaning_piece_bends_its_rod() -> None:
    """100 g, 200 mm over the soil and leaning by 10 degrees: 0.980665 N x 200 mm x sin 10 = 34.06 N mm, by hand."""
    assert leaning_nmm(100, 0, 200) == pytest.approx(34.06, abs=0.01)
    assert leaning_nmm(100, 10, 0) == pytest.approx(9.80665)
