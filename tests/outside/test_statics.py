"""Forces and centres of mass against the worked examples of OpenStax University Physics 1 and Calculus 2."""

from __future__ import annotations

import math

import pytest
from scipy import constants

from catalog_builder.hanging.balance import leg_rise_mm, leg_tension, shares, tilt_degrees
from catalog_builder.hanging.mass import Body, Part, glass_parts
from catalog_builder.records.material import Material
from tests.drawn import drawn


def body(*parts: tuple[float, float, float]) -> Body:
    """A body of point masses, each as mass, x, y."""
    return Body(tuple(Part("one", mass, x, y) for mass, x, y in parts))


@pytest.mark.parametrize(
    ("mass_kg", "gravity", "degrees", "newtons", "within"),
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
def test_two_legs(mass_kg: float, gravity: float, degrees: float, newtons: float, within: float) -> None:
    """Two equal legs at an angle to the level each pull with W / (2 sin a)."""
    length = 500.0
    span = length * math.cos(math.radians(degrees))
    pull_g = leg_tension(1000 * mass_kg, leg_rise_mm(length, span), length)
    assert pull_g / 1000 * gravity == pytest.approx(newtons, rel=within)


def test_legs_at_30_degrees() -> None:
    """At 30 degrees each leg pulls as hard as the whole weighs (C)."""
    assert leg_tension(400, 50, 200) == pytest.approx(400)


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
