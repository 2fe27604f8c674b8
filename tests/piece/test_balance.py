"""Balance: tilt, shares and pulls, where the answer can be seen without a table."""

from __future__ import annotations

import math

import pytest

from catalog_builder.piece.balance import apex, lean_degrees, leg_pulls, leg_rise_mm, shares, tilt_degrees
from catalog_builder.piece.mass import Body, MassPart


@pytest.mark.parametrize(
    ("ring", "centre", "degrees"),
    [
        ((50, 0), (50, 40), 0),
        ((50, 0), (90, 40), 45),
        ((50, 0), (10, 40), -45),
        # tan = dx / dy; 5 mm right and 80 mm below: 3.5763 degrees. Status C.
        ((0, 0), (5, 80), 3.5763),
        ((12, -7), (17, 73), 3.5763),
    ],
)
def test_tilt(ring: tuple[float, float], centre: tuple[float, float], degrees: float) -> None:
    """On one ring a piece turns until its centre of mass is below it, clockwise if it lay to the right."""
    assert tilt_degrees(ring, centre) == pytest.approx(degrees, abs=5e-5)


@pytest.mark.parametrize("centre", [(3, 0), (3, -5)])
def test_turns_over(centre: tuple[float, float]) -> None:
    """With its centre of mass above the ring, or level with it, a piece turns over."""
    with pytest.raises(ValueError, match="not below the ring"):
        tilt_degrees((0, 0), centre)


@pytest.mark.parametrize(
    ("rings", "forward", "degrees"),
    [
        # tan = forward / below; 10 mm forward and 100 mm below: 5.7106 degrees. Status C.
        (((0, 0),), 10, 5.7106),
        (((0, 0),), -10, -5.7106),
        (((60, 20),), 100, 45),
        # About the line through two rings, from which the centre is 60 mm away.
        (((-30, 40), (30, 40)), 60, 45),
    ],
)
def test_lean(rings: tuple[tuple[float, float], ...], forward: float, degrees: float) -> None:
    """A piece leans until the centre of mass, at (0, 100), is straight below its ring or the line of its rings."""
    assert lean_degrees(rings, (0, 100), forward) == pytest.approx(degrees, abs=5e-5)


@pytest.mark.parametrize(
    ("left", "right", "centre", "expected"),
    [
        # Two hooks at -40 and +60 mm, centre of mass at 0: shares 0.6 and 0.4. Status C.
        (-40, 60, 0, (0.6, 0.4)),
        (0, 100, 50, (0.5, 0.5)),
        (0, 100, 75, (0.25, 0.75)),
        (0, 100, 1, (0.99, 0.01)),
    ],
)
def test_shares(left: float, right: float, centre: float, expected: tuple[float, float]) -> None:
    """The ring nearer to the centre of mass carries more, in the turned proportion of the distances."""
    assert shares(left, right, centre) == pytest.approx(expected)


@pytest.mark.parametrize("centre", [0, 100, -3, 120])
def test_shares_outside(centre: float) -> None:
    """With the centre of mass outside the rings, one of them would have to push."""
    with pytest.raises(ValueError, match="not between the rings"):
        shares(0, 100, centre)


@pytest.mark.parametrize(("length", "span", "rise"), [(100, 60, 40), (130, 50, 60), (200, 0, 100), (50, 30, 20)])
def test_rise(length: float, span: float, rise: float) -> None:
    """Half a chain, half the span and the rise make a right triangle (3-4-5 and 5-12-13)."""
    assert leg_rise_mm(length, span) == pytest.approx(rise)


@pytest.mark.parametrize(("length", "span"), [(60, 60), (59, 60)])
def test_too_short(length: float, span: float) -> None:
    """A chain no longer than the rings are apart cannot hang from a point."""
    with pytest.raises(ValueError, match="not longer"):
        leg_rise_mm(length, span)


@pytest.mark.parametrize(("span", "factor"), [(60, 0.625), (80, 5 / 6), (96, 25 / 14)])
def test_flat_chain_pulls_harder(span: float, factor: float) -> None:
    """The flatter a chain of 100 mm lies, the harder it pulls: half its length over twice its rise."""
    left, right = (-span / 2, 0.0), (span / 2, 0.0)
    top = apex(left, right, leg_rise_mm(100, span))
    assert leg_pulls(left, right, top, (0, 70), 400) == pytest.approx((400 * factor,) * 2)


@pytest.mark.parametrize(
    ("left", "right", "top"),
    [
        ((0, 0), (60, 0), (30, -40)),
        # Rings out of level: the legs stay equal, so they meet straight off the middle of the line between them.
        ((0, 30), (40, 0), (-4, -17)),
        ((0, 0), (40, 30), (44, -17)),
    ],
)
def test_apex(left: tuple[int, int], right: tuple[int, int], top: tuple[int, int]) -> None:
    """Two equal legs that rise by 40 meet 40 above the middle of the line from ring to ring, as far from each."""
    assert apex(left, right, 40) == pytest.approx(top)
    assert math.dist(left, top) == pytest.approx(math.dist(right, top))


@pytest.mark.parametrize("centre", [(-40, 20), (200, 20), (-10, 5)])
def test_slack_leg(centre: tuple[float, float]) -> None:
    """With the centre of mass not between the legs, one of them would have to push: a cord cannot."""
    with pytest.raises(ValueError, match="between the legs"):
        leg_pulls((0, 0), (60, 0), (30, -40), centre, 100)


def test_body() -> None:
    """A body's centre lies nearer to its heavier parts; parts of a name are weighed together."""
    body = Body((MassPart("glass", 30, 0, 0), MassPart("glass", 10, 40, 0), MassPart("ring", 40, 20, 50)))
    assert body.mass_g == 80
    assert body.centre == pytest.approx((15, 25))
    assert (body.share("glass"), body.share("ring"), body.share("wire")) == (40, 40, 0)
