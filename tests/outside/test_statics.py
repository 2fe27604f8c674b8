"""Forces and centres of mass against the worked examples of OpenStax University Physics 1 and Calculus 2."""

from __future__ import annotations

import math
from datetime import date
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from scipy import constants
from scipy.spatial.transform import Rotation

from catalog_builder.pattern.measured import measure
from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.piece.balance import apex, leg_pulls, leg_rise_mm, shares, tilt_degrees
from catalog_builder.piece.hanging.strength import newtons
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.made_piece import make_piece
from catalog_builder.piece.mass import Body, MassPart, glass_parts
from catalog_builder.records.content import Content, read_content
from catalog_builder.records.material import Material
from tests.drawn import drawn
from tests.studio import content, hung, record, suspension


def body(*parts: tuple[float, float, float]) -> Body:
    """A body of point masses, each as mass, x, y."""
    return Body(tuple(MassPart("one", mass, x, y) for mass, x, y in parts))


@pytest.mark.parametrize(
    ("mass_kg", "gravity", "degrees", "pulled_n", "within"),
    [
        # University Physics 1, ch. 5, the tightrope walker (S): printed 3930 N, with the sine rounded;
        # exact 3935.48.
        (70.0, 9.80, 5.0, 3930, 2e-3),
        (70.0, 9.80, 5.0, 3935.48, 1e-6),
        # 0.4 kg over two legs at g = 9.80665. Status C.
        (0.4, constants.g, 60, 2.2648, 3e-5),
        (0.4, constants.g, 45, 2.7737, 3e-5),
        (0.4, constants.g, 30, 3.9227, 3e-5),
        (0.4, constants.g, 15, 7.5780, 3e-5),
    ],
)
def test_two_legs(mass_kg: float, gravity: float, degrees: float, pulled_n: float, within: float) -> None:
    """Two equal legs at an angle to the level each pull with W / (2 sin a)."""
    length = 500.0
    span = length * math.cos(math.radians(degrees))
    left, right = (-span / 2, 0.0), (span / 2, 0.0)
    pulls = leg_pulls(left, right, apex(left, right, leg_rise_mm(length, span)), (0, 60), 1000 * mass_kg)
    assert [pull / 1000 * gravity for pull in pulls] == pytest.approx([pulled_n, pulled_n], rel=within)


def test_legs_at_30_degrees() -> None:
    """At 30 degrees each leg pulls as hard as the whole weighs (C)."""
    left, right = (-50 * math.sqrt(3), 0.0), (50 * math.sqrt(3), 0.0)
    assert leg_pulls(left, right, apex(left, right, 50), (0, 30), 400) == pytest.approx((400, 400))


@pytest.mark.parametrize(
    ("mass_g", "gravity", "tangents", "pulled_n", "within_n"),
    [
        # University Physics 1, ch. 6, different tensions at different angles (S): 15.0 kg, 30 and 45 degrees,
        # printed 108 N and 132 N; exact 107.611 and 131.797 at g = 9.80.
        (15_000, 9.80, (math.tan(math.radians(30)), 1.0), (108, 132), 0.5),
        (15_000, 9.80, (math.tan(math.radians(30)), 1.0), (107.611, 131.797), 5e-4),
        # University Physics 1, ch. 12, a breaking tension (S): a pan of 42.0 g and 277 g in it, strings with
        # tangents 2 and 1/2; the steeper one pulls twice as hard, and breaks at 2.80 N.
        (42.0 + 277, 9.8, (2.0, 0.5), (2.80, 1.40), 5e-3),
    ],
)
def test_unequal_legs(
    mass_g: float, gravity: float, tangents: tuple[float, float], pulled_n: tuple[float, float], within_n: float
) -> None:
    """Two legs of unlike slope share a load so that their pulls together are straight up and as large."""
    left, right = (-100 / tangents[0], 0.0), (100 / tangents[1], 0.0)
    pulls = leg_pulls(left, right, (0.0, -100.0), (0.0, 50.0), mass_g)
    assert [pull / 1000 * gravity for pull in pulls] == pytest.approx(pulled_n, abs=within_n)


def test_lever() -> None:
    """50, 75 and 150 g at 70, 40 and 20 cm balance 316.7 g at 30 cm (University Physics 1, ch. 12, S)."""
    x, _ = body((50, -70, 0), (75, -40, 0), (150, -20, 0), (950 / 3, 30, 0)).centre
    assert x == pytest.approx(0, abs=1e-12)
    assert pytest.approx(316.7, abs=0.05) == 950 / 3


def test_reactions() -> None:
    """A car with wheels 2.5 m apart and 52 % of its weight in front has its centre 1.3 m before the rear.

    University Physics 1, ch. 12 (S).
    """
    rear, front = shares(0, 2.5, 1.3)
    assert (rear, front) == pytest.approx((0.48, 0.52))


@pytest.mark.parametrize(
    ("masses", "centre"),
    [
        # OpenStax Calculus 2, section 2.6 (S).
        (((2, -1, 3), (6, 1, 1), (4, 2, -2)), (1, 1 / 3)),
        (((30, -2, 0), (5, 3, 0), (10, 6, 0), (15, -3, 0)), (-1 / 2, 0)),
    ],
)
def test_point_masses(masses: tuple[tuple[float, float, float], ...], centre: tuple[float, float]) -> None:
    """A body's centre of mass is the mean of its parts' places, weighted by mass."""
    assert body(*masses).centre == pytest.approx(centre)


def test_tilt() -> None:
    """On one hook, tan(tilt) = dx/dy: 5 mm right and 80 mm below give 3.5763 degrees (equilibrium, C)."""
    assert tilt_degrees((100, 20), (105, 100)) == pytest.approx(3.5763, abs=5e-5)


@pytest.mark.parametrize(
    ("marks", "ring", "degrees"),
    [
        # A half disc hung by the middle of its flat edge hangs level; its centre is 4r/3pi below (mechanics
        # tables, C).
        ('<path d="M0,0 A50 50 0 0 0 100,0 Z"/>', (50, 0), 0),
        ('<path d="M0,0 A50 50 0 0 0 100,0 Z"/>', (0, 0), math.degrees(math.atan(50 / 21.2207))),
        # The L-shape's centre is (20, 30): hung by its corner it swings by atan(2/3).
        ('<path d="M0,0 H60 V20 H20 V80 H0 Z"/>', (0, 0), math.degrees(math.atan(2 / 3))),
        ('<path d="M0,0 H60 V20 H20 V80 H0 Z"/>', (20, 0), 0),
        ('<path d="M0,0 H60 V20 H20 V80 H0 Z"/>', (60, 0), -math.degrees(math.atan(4 / 3))),
    ],
)
def test_hung_figures(marks: str, ring: tuple[float, float], degrees: float) -> None:
    """A figure of one glass turns until the centroid of plane geometry is straight below its ring."""
    glass = Material.model_validate(
        {
            "material": "g",
            "title": "G",
            "kind": "glass",
            "pack_size": "1",
            "pack_unit": "dm2",
            "thickness_mm": "3",
        }
    )
    parts = glass_parts(drawn(marks, tolerance=0.001).cuts, {"any": glass})
    assert tilt_degrees(ring, Body(tuple(parts)).centre) == pytest.approx(degrees, abs=2e-3)


PROJECT = Path(__file__).parents[2]
DAY = date(2026, 12, 1)
# Residuals of forces and of moments, as shares of the weight, and of the weight times 1 mm.
STILL = 1e-9


@cache
def demo() -> Content:
    """The demo studio's content."""
    return read_content(PROJECT, DAY)


# What stands, or is held from below, has no rings; test_tipping.py looks at that.
PRODUCTS = sorted(product.slug for product in demo().products if product.keys.hang.by.hangs)


@cache
def hanging(slug: str) -> tuple[Suspension, ...]:
    """A product of the demo as it hangs, in each of its sizes and choices of glass."""
    studio = demo()
    product, making = next(one for one in studio.products if one.slug == slug), studio.studio.making
    return tuple(
        hung(studio, product, make_piece(product, choice, measure(product, sized, making), studio.materials, making))
        for sized in read_sizes(product, making, studio.materials)
        for choice in product.keys.glass.values()
    )


def hung_places(one: Suspension) -> tuple[np.ndarray, np.ndarray]:
    """The parts' places about the pivot as the piece hangs, shape (n, 3), and the parts' weights in N.

    The piece is turned in its plane by its tilt, then about the level line through the pivot by its lean: a weight
    towards the viewer goes back, which about x (y down, z to the viewer) is a turn by a negative angle.
    """
    pivot = np.array([*one.pivot, 0.0])
    places = np.array([(part.x, part.y, part.z) for part in one.body.parts]) - pivot
    turned = Rotation.from_euler("z", one.tilt_degrees, degrees=True).apply(places)
    leant = Rotation.from_euler("x", -one.lean_degrees, degrees=True).apply(turned)
    return leant, np.array([newtons(part.mass_g) for part in one.body.parts])


@pytest.mark.parametrize("slug", PRODUCTS)
def test_still_on_one_ring(slug: str) -> None:
    """On one ring a piece hangs still: turned by tilt and lean, its weight has no moment about the ring."""
    for one in hanging(slug):
        if len(one.rings) > 1:
            continue
        places, weights = hung_places(one)
        forces = np.outer(weights, (0.0, 1.0, 0.0))
        moment = np.cross(places, forces).sum(axis=0)
        assert np.abs(moment).max() <= STILL * weights.sum()
        assert (weights @ places)[1] > 0
        assert newtons(one.ring_loads_g[0]) == pytest.approx(weights.sum(), rel=STILL)


def pane(left: float, right: float, keys: str, root: Path) -> Suspension:
    """A pane of three on two rings at unequal distances from its centre of mass."""
    labels = "".join(
        f'<text x="{x}" y="30" data-glass="{word}">{x:.0f}</text>'
        for x, word in ((left / 2, "left"), ((left + right) / 2, "right"), ((right + 100) / 2, "left"))
    )
    drawing = (
        f'<rect width="100" height="60" data-glass="left"/><path d="M{left},0 V60"/><path d="M{right},0 V60"/>{labels}'
        f'<circle data-mark="ring" cx="{left}" cy="0" r="1"/><circle data-mark="ring" cx="{right}" cy="0" r="1"/>'
    )
    return suspension(content(root, record(drawing, keys=keys)))


UNEVEN = [(10.0, 60.0), (40.0, 90.0), (25.0, 75.0), (20.0, 60.0)]


def still_on_two_rings(one: Suspension) -> None:
    """Two upright pulls hold the weight, and their moments about either ring cancel."""
    weight, (x, _) = newtons(one.body.mass_g), one.body.centre
    pulls = [newtons(load) for load in one.ring_loads_g]
    assert sum(pulls) == pytest.approx(weight, rel=STILL)
    for ring in one.rings:
        moment = sum(pull * (at - ring[0]) for pull, (at, _) in zip(pulls, one.rings, strict=True))
        assert moment == pytest.approx(weight * (x - ring[0]), abs=STILL * weight)


def still_on_two_legs(one: Suspension) -> None:
    """The pulls of two legs that meet add up to the weight, straight up, once the piece is turned by its tilt."""
    turn = Rotation.from_euler("z", one.tilt_degrees, degrees=True)
    pivot = np.array([*one.pivot, 0.0])
    ways = turn.apply(pivot - np.array([(*ring, 0.0) for ring in one.rings]))
    assert np.hypot(*ways[:, :2].T) == pytest.approx([one.hanger_mm / 2] * 2, rel=STILL)
    pulls = (ways / np.linalg.norm(ways, axis=1)[:, None]) * [[newtons(load)] for load in one.ring_loads_g]
    weight = newtons(one.body.mass_g)
    across, up, _ = pulls.sum(axis=0)
    assert (across, up) == pytest.approx((0.0, -weight), abs=STILL * weight)
    centre = turn.apply(np.array([*one.body.centre, 0.0]) - pivot)
    assert centre[0] == pytest.approx(0, abs=1e-9)
    rings = turn.apply(np.array([(*ring, 0.0) for ring in one.rings]) - pivot)
    moment = np.cross(rings, pulls).sum(axis=0)
    assert np.abs(moment).max() <= STILL * weight


@pytest.mark.parametrize("slug", PRODUCTS)
def test_still_on_two(slug: str) -> None:
    """On two rings a piece hangs still, by the lever rule or by the pulls of its two legs."""
    for one in hanging(slug):
        if len(one.rings) == 2:
            (still_on_two_rings if one.rise_mm is None else still_on_two_legs)(one)


@pytest.mark.parametrize(("left", "right"), UNEVEN)
def test_uneven_on_two_rings(tmp_path: Path, left: float, right: float) -> None:
    """Two rings, each on a place of its own, share by the lever rule wherever the centre of mass lies between."""
    one = pane(left, right, "", tmp_path)
    still_on_two_rings(one)
    assert one.tilt_degrees == 0


@pytest.mark.parametrize("by", ["chain", "cord"])
@pytest.mark.parametrize(("left", "right"), UNEVEN)
def test_uneven_on_two_legs(tmp_path: Path, left: float, right: float, by: str) -> None:
    """On a chain over two rings a piece tilts until its weight is below the chain's top; the legs pull unlike."""
    one = pane(left, right, f"hang: {{by: {by}, length: 140 mm}}", tmp_path)
    still_on_two_legs(one)
    assert (abs(one.tilt_degrees) > 1) == (abs((left + right) / 2 - one.body.centre[0]) > 2)
