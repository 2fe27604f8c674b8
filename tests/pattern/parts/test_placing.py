"""Where parts stand: x to the right, y down, z towards the viewer; every place here is worked out by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog_builder.pattern.flaw import Flaw
from catalog_builder.pattern.fold import Fold
from catalog_builder.pattern.parts.join import Join, read_join
from catalog_builder.pattern.parts.placing import UPRIGHT, Placing, across_fold, folded_about, turned_about

STEADY = settings(derandomize=True, database=None, deadline=None, max_examples=80)
Place = tuple[float, float]


def joined(begin: Place, end: Place) -> Join:
    """A join from point to point."""
    join = read_join(np.array([begin, end], dtype=float), None, 1, 0.3)
    assert isinstance(join, Join)
    return join


# The right edge of a pane of 100 x 60 mm, and its lower edge.
UP, LEVEL = joined((100, 0), (100, 60)), joined((0, 60), (100, 60))


@pytest.mark.parametrize(
    ("degrees", "corner"),
    [(0, (120, 0, 0)), (90, (100, 0, 20)), (180, (80, 0, 0)), (270, (100, 0, -20)), (-90, (100, 0, -20))],
)
@pytest.mark.parametrize(
    ("edge", "inside", "far"),
    [
        # A fin of 20 x 60 mm joined by its left edge, by its right one, and by its upper one when drawn lying.
        (((0, 0), (0, 60)), (10, 30), (20, 0)),
        (((20, 60), (20, 0)), (10, 30), (0, 0)),
        (((60, 0), (0, 0)), (30, 10), (0, 20)),
        (((7, 5), (7, 65)), (12, 30), (27, 5)),
    ],
)
def test_turned_about_an_upright_join(
    degrees: float, corner: tuple[float, float, float], edge: tuple[Place, Place], inside: Place, far: Place
) -> None:
    """At 0 a part lies to the right of an upright join, at 90 it stands out, at 180 to the left, at 270 back."""
    assert turned_about(UP, joined(*edge), inside, degrees).point(*far) == pytest.approx(corner, abs=1e-12)


@pytest.mark.parametrize(
    ("degrees", "corner"), [(0, (0, 80, 0)), (90, (0, 60, 20)), (180, (0, 40, 0)), (270, (0, 60, -20))]
)
def test_turned_about_a_level_join(degrees: float, corner: tuple[float, float, float]) -> None:
    """At 0 a part hangs below a level join, its left end at the left."""
    own = joined((100, 0), (0, 0))
    placing = turned_about(LEVEL, own, (50, 10), degrees)
    assert placing.point(0, 20) == pytest.approx(corner, abs=1e-12)
    assert placing.point(100, 0) == pytest.approx((100, 60, 0), abs=1e-12)


@pytest.mark.parametrize("rise", [0.0, 0.05, -0.05, 0.4, -0.4])
def test_a_join_that_is_nearly_level_counts_as_level(rise: float) -> None:
    """A line that a drawing program sets a hair out of level still has its part below it, not above."""
    main = joined((0, 60), (100, 60 + rise))
    own = joined((0, 0), (math.hypot(100, rise), 0))
    x, y, z = turned_about(main, own, (50, 10), 0).point(0, 20)
    assert (x, y, z) == pytest.approx((0, 80, 0), abs=0.1)


def test_slanting_joins() -> None:
    """At 0 a part lies on the right of a slanting join: a join from (0, 0) to (30, 40) has (0.8, -0.6) on its right."""
    main = joined((30, 40), (0, 0))
    placing = turned_about(main, joined((0, 0), (0, 50)), (5, 5), 0)
    assert placing.point(10, 0) == pytest.approx((8, -6, 0))
    assert placing.point(10, 50) == pytest.approx((38, 34, 0))
    assert turned_about(main, joined((0, 0), (0, 50)), (5, 5), 60).point(10, 0) == pytest.approx(
        (4, -3, 10 * math.sin(math.radians(60)))
    )


@pytest.mark.parametrize("degrees", [0, 30, 90, 270])
def test_mirrored(degrees: float) -> None:
    """Across an upright fold at x 50 a part's mirror image stands where x is 100 less it."""
    drawn = turned_about(UP, joined((0, 0), (0, 60)), (10, 30), degrees)
    image = across_fold(drawn, Fold.through(np.array([[50.0, 0.0], [50.0, 60.0]])))
    assert image.mirrored
    assert not drawn.mirrored
    for x, y in ((0, 0), (20, 0), (20, 60), (7, 33)):
        u, v, w = drawn.point(x, y)
        assert image.point(x, y) == pytest.approx((100 - u, v, w))


def test_main_drawing_stands_upright() -> None:
    """The main drawing hangs in the plane of the viewer, as it is drawn."""
    assert UPRIGHT.point(12, 34) == (12, 34, 0)


PLACES = st.tuples(st.floats(-100, 100), st.floats(-100, 100))


@STEADY
@given(
    begin=PLACES,
    turn=st.floats(0, 360),
    own_turn=st.floats(0, 360),
    degrees=st.floats(-360, 360),
    mirrored=st.booleans(),
    points=st.lists(PLACES, min_size=3, max_size=5),
)
def test_rigid(begin: Place, turn: float, own_turn: float, degrees: float, mirrored: bool, points: list[Place]) -> None:
    """However a part is placed, no two of its points come nearer to each other or farther apart."""

    def run(at: Place, angle: float) -> Join:
        direction = np.array([math.cos(math.radians(angle)), math.sin(math.radians(angle))]) * 40
        return joined(at, (at[0] + float(direction[0]), at[1] + float(direction[1])))

    main, own = run(begin, turn), run((0, 0), own_turn)
    placing: Placing = turned_about(main, own, points[0], degrees)
    if mirrored:
        placing = across_fold(placing, Fold.through(np.array([[3.0, 0.0], [10.0, 60.0]])))
    flat = np.array([*points, *own.points.tolist()])
    stood = placing.points(flat)
    for index in range(len(flat)):
        assert np.linalg.norm(stood - stood[index], axis=1) == pytest.approx(
            np.hypot(*(flat - flat[index]).T), abs=1e-9
        )
    if not mirrored:
        assert stood[-2:, :2] == pytest.approx(main.points, abs=1e-9)
        assert stood[-2:, 2] == pytest.approx([0, 0], abs=1e-9)


@pytest.mark.parametrize(
    ("points", "wrong"),
    [
        ([(0, 0), (0, 0.2)], "the join has no length"),
        ([(0, 0), (1, 30), (0, 60)], "the join is not one straight line"),
        ([(0, 0), (0.2, 30), (0, 60)], None),
    ],
)
def test_what_can_be_a_join(points: list[Place], wrong: str | None) -> None:
    """A join is one straight line, up to what lines may miss by."""
    join = read_join(np.array(points, dtype=float), None, 1, 0.3)
    assert (join.wrong if isinstance(join, Flaw) else None) == wrong


@pytest.mark.parametrize(("begin", "end", "first"), [((0, 30), (100, 0), (100, 0)), ((100, 60), (0, 60), (0, 60))])
def test_a_join_begins_at_its_upper_or_left_end(begin: Place, end: Place, first: Place) -> None:
    """A join that rises by 30 in 100 begins at its upper end, a level one at its left end, however drawn."""
    assert joined(begin, end).points[0].tolist() == list(first)
    assert joined(end, begin).points[0].tolist() == list(first)


@pytest.mark.parametrize("degrees", [30.0, 90.0, 135.0, 180.0, -90.0])
def test_the_angle_inside_a_corner(degrees: float) -> None:
    """From the edge on, the carrier's glass and the part's stand at the angle; the drawn side faces outwards."""
    main, own = joined((100, 0), (100, 60)), joined((0, 0), (0, 60))
    placing = folded_about(main, (50, 30), own, (10, 30), degrees)
    foot, far = np.array(placing.point(0, 30)), np.array(placing.point(10, 30))
    assert (foot[0], foot[2]) == pytest.approx((100, 0), abs=1e-9)
    away = (far - foot) / 10
    assert math.degrees(math.acos(float(away @ (-1, 0, 0)))) == pytest.approx(abs(degrees), abs=1e-6)
    if abs(degrees) < 180:
        assert np.sign(away[2]) == np.sign(degrees)
        # What lies between both faces lies behind the part's drawn side.
        assert float(placing.normal @ (away - (1, 0, 0))) < 0


def test_a_drawing_in_the_space_of_another() -> None:
    """What is placed on a placed drawing stands there as it stood on the drawing; a mirrored one mirrors it."""
    main, own = joined((100, 0), (100, 60)), joined((0, 0), (0, 60))
    carrier, local = turned_about(main, own, (10, 30), 90), turned_about(main, own, (10, 30), 40)
    placed = local.within(carrier)
    x, y, z = local.point(7, 9)
    assert placed.point(7, 9) == pytest.approx(np.array(carrier.point(x, y)) + z * carrier.normal)
    assert not placed.mirrored
    fold = Fold.through(np.array([[50.0, 0.0], [50.0, 60.0]]))
    image = across_fold(carrier, fold)
    there, drawn = local.within(image).point(7, 9), placed.point(7, 9)
    assert there == pytest.approx((100 - drawn[0], drawn[1], drawn[2]))
    assert local.within(image).mirrored
