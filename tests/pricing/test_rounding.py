"""Rounding to price points: up, down or to the nearest of those that bands give, and never under the floor price."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog_builder.pricing.policy import floor_of, price_before_tax, set_price, to_point
from catalog_builder.records.selling.channel import Channel, PricePoint
from tests.pricing.test_policy import STEADY, channel, points

ROUNDINGS = st.sampled_from(["up", "nearest", "down"])
AMOUNTS = st.decimals(Decimal(0), Decimal(70), places=4)
DIGITS = st.sampled_from([0, 2, 3])


def printed_for(channel: Channel, cost: Decimal, digits: int) -> Decimal:
    """What a channel that follows no other prints for a cost."""
    asked = price_before_tax(channel, cost, Decimal(0))
    return set_price(channel, asked, digits, floor_of(channel, cost, digits)).printed


@pytest.mark.parametrize(
    ("rounding", "amount", "price"),
    [
        ("up", "12.01", "12.50"),
        ("nearest", "12.20", "12.00"),
        ("nearest", "12.25", "12.50"),
        ("nearest", "12.30", "12.50"),
        ("down", "12.49", "12.00"),
        ("down", "12.50", "12.50"),
        ("up", "12.50", "12.50"),
    ],
)
def test_direction(rounding: Literal["up", "nearest", "down"], amount: str, price: str) -> None:
    """A channel rounds up, to the nearest point (halfway up), or down."""
    assert str(to_point(Decimal(amount), points((None, "0.50", "0")), 2, rounding)) == price


@pytest.mark.parametrize(("amount", "price"), [("12.3", "13"), ("12.5", "13"), ("13", "13")])
def test_a_point_finer_than_the_currency_goes_up(amount: str, price: str) -> None:
    """Where a currency has no minor unit, a point of 12.50 cannot be printed: 13 is, and no less."""
    assert str(to_point(Decimal(amount), points((None, "0.5", "0")), 0)) == price


@pytest.mark.parametrize(
    ("markup", "cost", "step", "printed"),
    [
        # A price of 9.90 that leaves 0.10 or just the cost: down to 9.00 would lose money.
        ("1.03", "9.80", "1", "10.00"),
        ("0", "9.90", "1", "10.00"),
        # The floor is 12.14: what the rule asks is under it by less than a penny.
        ("0", "12.135", "5", "15.00"),
    ],
)
def test_rounding_down_stops_at_the_floor(markup: str, cost: str, step: str, printed: str) -> None:
    """Where the point below would not cover the cost, the next one up is printed."""
    shop = channel(markup_percent=markup, rounding="down", price_points=points((None, step, "0")))
    assert str(printed_for(shop, Decimal(cost), 2)) == printed


@pytest.mark.parametrize(
    ("amount", "price"),
    [("9.90", "9.00"), ("10.40", "10.00"), ("19.94", "10.00"), ("19.95", "19.95"), ("0.20", "1.00"), ("0", "1.00")],
)
def test_rounding_down_reaches_into_the_band_below(amount: str, price: str) -> None:
    """The last point of the band below is taken before the first of a band is reached, and none is 0 or less."""
    bands = points(("10", "1", "0"), (None, "20", "0.05"))
    assert str(to_point(Decimal(amount), bands, 2, "down")) == price


@st.composite
def price_bands(draw: st.DrawFn) -> tuple[PricePoint, ...]:
    """Up to three bands that a studio may write, and one without an end or none."""
    ends = sorted(draw(st.sets(st.decimals(Decimal(1), Decimal(60), places=1), max_size=3)))
    bands = []
    for end in [*ends, *draw(st.sampled_from([[None], []]))]:
        step = Decimal(draw(st.sampled_from(["0.05", "0.5", "0.99", "1", "2.5", "7", "20"])))
        less = Decimal(draw(st.sampled_from(["0", "0.01", "0.045", "0.5", "0.95", "3"])))
        bands.append(PricePoint(up_to=end, step=step, less=less % step))
    return tuple(bands)


@st.composite
def ruled_channels(draw: st.DrawFn) -> Channel:
    """A channel that sets its price by markup or margin, with any fees, tax, points and rounding."""
    keys = {
        draw(st.sampled_from(["markup_percent", "margin_percent"])): draw(st.sampled_from(["0", "0.5", "12", "40"])),
        "fee_percent": draw(st.decimals(Decimal(0), Decimal(45), places=2)),
        "fee_each": draw(st.decimals(Decimal(0), Decimal(5), places=2)),
        "tax_percent": draw(st.sampled_from(["0", "7.7", "20"])),
        "tax": draw(st.sampled_from(["included", "added"])),
        "rounding": draw(ROUNDINGS),
        "price_points": draw(price_bands()),
    }
    return Channel.model_validate({"title": "One", "shown_on": "private", **keys})


def allowed(bands: tuple[PricePoint, ...], digits: int, limit: Decimal) -> list[Fraction]:
    """Every price point up to a limit, counted up band by band in fractions; none is finer than the currency."""
    minor, found = Fraction(1, 10**digits), [Fraction(0)]
    for band in (*bands, PricePoint(up_to=None, step=Decimal(1).scaleb(-digits), less=Decimal(0))):
        step = math.ceil(Fraction(band.step) / minor) * minor
        less = math.floor(Fraction(band.less) / minor) * minor
        end = Fraction(limit if band.up_to is None else min(band.up_to, limit))
        first = math.floor((found[-1] + less) / step) + 1
        found.extend(count * step - less for count in range(first, math.floor((end + less) / step) + 1))
        if band.up_to is None:
            break
    return found[1:]


@STEADY
@given(bands=price_bands(), amount=AMOUNTS, rounding=ROUNDINGS, digits=DIGITS)
def test_a_price_is_the_nearest_allowed_one(
    bands: tuple[PricePoint, ...], amount: Decimal, rounding: Literal["up", "nearest", "down"], digits: int
) -> None:
    """Up, down or to the nearest of all price points, halfway up; never to 0 or less."""
    candidates = allowed(bands, digits, Decimal(100))
    above = min(point for point in candidates if point >= amount)
    below = max((point for point in candidates if point <= amount), default=above)
    nearest = above if above - Fraction(amount) <= Fraction(amount) - below else below
    expected = {"up": above, "down": below, "nearest": nearest}[rounding]
    assert Fraction(to_point(amount, bands, digits, rounding)) == expected


@STEADY
@given(channel=ruled_channels(), costs=st.tuples(AMOUNTS, AMOUNTS), digits=DIGITS)
def test_no_rounding_takes_a_price_under_the_floor(
    channel: Channel, costs: tuple[Decimal, Decimal], digits: int
) -> None:
    """By markup or margin a price is over 0, not under its floor, and does not fall when the cost rises."""
    low, high = (printed_for(channel, cost, digits) for cost in sorted(costs))
    assert 0 < low <= high
    for cost, printed in zip(sorted(costs), (low, high), strict=True):
        assert printed >= floor_of(channel, cost, digits)
