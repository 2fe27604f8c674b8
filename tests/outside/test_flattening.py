"""Curves flattened to a chord tolerance, against the sagitta and the inscribed polygon."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.drawn import drawn

# Chord error (sagitta) s = r (1 - cos(angle/2)), so n >= pi / acos(1 - t/r). S2, a geometry page; digits C.
ROUNDS = [
    (100.0, 0.1, 71),
    (100.0, 0.01, 223),
    (50.0, 0.01, 158),
    (5.0, 0.05, 23),
    (5.0, 0.01, 50),
]


@pytest.mark.parametrize(("radius", "tolerance", "segments"), ROUNDS)
def test_segments(radius: float, tolerance: float, segments: int) -> None:
    """A round is followed by as many chords as its sagitta asks for, and its polygon is the inscribed one.

    A manual of geographic information systems has n = 2.222 sqrt(r/t) for it (S2), within one of the exact count.
    """
    found = drawn(f'<circle r="{radius}"/>', tolerance=tolerance)
    assert len(found.edges.rims) == segments == math.ceil(math.pi / math.acos(1 - tolerance / radius))
    assert abs(segments - 2.222 * math.sqrt(radius / tolerance)) < 1
    assert radius * (1 - math.cos(math.pi / segments)) <= tolerance < radius * (1 - math.cos(math.pi / (segments - 1)))
    # Inscribed polygon: length x sin x / x, area x sin 2x / 2x, x = pi/n. Status C.
    x = math.pi / segments
    assert found.edges.rim_mm == pytest.approx(2 * math.pi * radius * math.sin(x) / x)
    assert found.area == pytest.approx(math.pi * radius**2 * math.sin(2 * x) / (2 * x))


CURVED = [
    "M0,0 C40,-60 80,60 120,0 L120,80 0,80 Z",
    "M0,0 Q60,90 120,0 L60,-70 Z",
    "M10,0 A60 25 30 1 1 90,20 Z",
    "M0,0 C0,55 45,100 100,100 S200,55 200,0 Z",
]


@pytest.mark.parametrize("tolerance", [0.1, 0.03, 0.01, 0.003])
@pytest.mark.parametrize("path", CURVED)
def test_convergence(path: str, tolerance: float) -> None:
    """What a tolerance leaves out of an area is at most the tolerance times the border.

    Plane geometry, C.
    """
    fine = drawn(f'<path d="{path}"/>', tolerance=1e-5)
    coarse = drawn(f'<path d="{path}"/>', tolerance=tolerance)
    assert abs(coarse.area - fine.area) <= tolerance * fine.edges.rim_mm
    assert coarse.edges.rim_mm < fine.edges.rim_mm
    assert coarse.pattern.pieces[0].face.hausdorff_distance(fine.pattern.pieces[0].face) <= 1.01 * tolerance


def cubic_reach(kappa: float) -> tuple[float, float]:
    """The least and the largest distance from the middle of a quarter circle drawn as a cubic, by Bernstein's sum."""
    t = np.linspace(0, 1, 100_001)[:, None]
    points = np.array([[0, 1], [kappa, 1], [1, kappa], [1, 0]])
    weights = np.hstack([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3])
    reach = np.hypot(*(weights @ points).T)
    return float(reach.min()), float(reach.max())


def test_cubic_circle() -> None:
    """A round drawn with four cubics of kappa 0.5522847 is within 0.03 % of the circle's border.

    Kappa = 4 (sqrt 2 - 1) / 3 sets the curve's middle on the circle (geometry of curves, M); the bulge of 2.725e-4 is
    swept here with the curve's own definition (C).
    """
    kappa = 4 * (math.sqrt(2) - 1) / 3
    assert cubic_reach(kappa) == pytest.approx((1, 1 + 2.725e-4), abs=5e-8)
    k = 50 * kappa
    path = f"M50,0 C50,{k} {k},50 0,50 S-50,{k} -50,0 S-{k},-50 0,-50 S50,-{k} 50,0 Z"
    found = drawn(f'<path d="{path}"/>', tolerance=1e-4)
    assert found.edges.rim_mm == pytest.approx(314.159, rel=3e-4)
    # The curve bulges by at most 2.725e-4 of its radius, and never falls inside the circle. Status C.
    reach = [math.hypot(x, y) for x, y in found.pattern.pieces[0].face.exterior.coords]
    assert max(reach) == pytest.approx(50 * (1 + 2.725e-4), abs=1e-3)
    assert min(reach) > 50 * (1 - 1e-9)
