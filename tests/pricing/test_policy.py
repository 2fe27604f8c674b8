"""The policy: from cost to price and back, in every way in which a channel may set it."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog_builder.pricing.policy import (
    Price,
    price_before_tax,
    printed_price,
    read_earning,
    set_price,
    to_point,
)
from catalog_builder.records.selling.channel import Channel, PricePoint
from tests.costs import cost_of, unbooked_prices

STEADY = settings(derandomize=True, database=None, deadline=None, max_examples=200)
COSTS = st.decimals(Decimal("0.01"), Decimal(2000), places=4)
FEES = st.decimals(Decimal(0), Decimal(45), places=2)
TAXES = st.sampled_from([Decimal(tax) for tax in ("0", "5", "7.7", "19", "20", "21")])
FIXED = st.decimals(Decimal(0), Decimal(5), places=2)
RATE = Decimal(30)
# What is left out of account: the last digits of a division that does not come out even.
DUST = Decimal("1e-8")


def channel(**keys: object) -> Channel:
    """A channel by its keys; without a rule of its own, it asks for the bare cost."""
    rule = {} if {"margin_percent", "times_trade"} & set(keys) else {"markup_percent": Decimal(0)}
    return Channel.model_validate({"title": "One", "shown_on": "private", **rule, **keys})


def points(*steps: tuple[str | None, str, str]) -> tuple[PricePoint, ...]:
    """Price points by (up_to, step, less)."""
    return tuple(
        PricePoint(up_to=None if up_to is None else Decimal(up_to), step=Decimal(step), less=Decimal(less))
        for up_to, step, less in steps
    )


@STEADY
@given(total=COSTS, rate=st.decimals(Decimal(0), Decimal(300), places=1), fee=FEES, fixed=FIXED, tax=TAXES)
def test_markup(total: Decimal, rate: Decimal, fee: Decimal, fixed: Decimal, tax: Decimal) -> None:
    """With a markup, what is left after all fees is the cost and its share, whatever fees and tax are."""
    shop = channel(markup_percent=rate, fee_percent=fee, fee_each=fixed, tax_percent=tax)
    before = price_before_tax(shop, total, Decimal(0))
    left = before - before * (1 + tax / 100) * fee / 100 - fixed
    assert left == pytest.approx(total * (1 + rate / 100))


@STEADY
@given(total=COSTS, margin=st.decimals(Decimal(0), Decimal(40), places=1), fee=FEES, fixed=FIXED, tax=TAXES)
def test_margin(total: Decimal, margin: Decimal, fee: Decimal, fixed: Decimal, tax: Decimal) -> None:
    """With a margin, what is left after fees and cost is that share of the price before tax."""
    shop = channel(margin_percent=margin, fee_percent=fee, fee_each=fixed, tax_percent=tax)
    price = price_before_tax(shop, total, Decimal(0))
    earning = read_earning(shop, Price(price, price, price * (1 + tax / 100)), cost_of(total), RATE, 2)
    assert earning.margin == pytest.approx(margin / 100, abs=DUST)
    assert earning.profit == pytest.approx(price * margin / 100, abs=DUST)


@pytest.mark.parametrize(
    ("amount", "price"),
    [
        ("0.01", "0.50"),
        ("12", "12.00"),
        ("12.01", "12.50"),
        ("49.50", "49.50"),
        ("49.51", "50.00"),
        # Over the last point of a band, the first point of the next one.
        ("50.01", "51.00"),
        ("119.2", "120.00"),
        ("120.01", "125.00"),
        ("122.5", "125.00"),
    ],
)
def test_price_points(amount: str, price: str) -> None:
    """Prices go up to the next price point of their band, never down."""
    bands = points(("50", "0.50", "0"), ("120", "1", "0"), (None, "5", "0"))
    assert str(to_point(Decimal(amount), bands, 2)) == price


@pytest.mark.parametrize(("amount", "price"), [("9.94", "9.95"), ("9.95", "9.95"), ("9.96", "10.95"), ("0.02", "0.95")])
def test_points_less(amount: str, price: str) -> None:
    """Price points may stand a little under the round number."""
    assert str(to_point(Decimal(amount), points((None, "1", "0.05")), 2)) == price


@pytest.mark.parametrize(
    ("amount", "price"),
    [("9.90", "9.95"), ("9.96", "10.00"), ("10.00", "10.00"), ("10.01", "12.00"), ("8.96", "9.95")],
)
def test_between_bands(amount: str, price: str) -> None:
    """An amount over a band's last point, though under its end, takes the first point of the next band."""
    assert str(to_point(Decimal(amount), points(("10", "1", "0.05"), (None, "2", "0")), 2)) == price


@pytest.mark.parametrize(
    ("amount", "digits", "price"),
    [
        ("12.001", 2, "12.01"),
        ("12", 2, "12.00"),
        ("1203.2", 0, "1204"),
        ("1.2341", 3, "1.235"),
        ("1.234", 3, "1.234"),
    ],
)
def test_without_points(amount: str, digits: int, price: str) -> None:
    """Without price points a price goes up to its currency's minor unit."""
    assert str(to_point(Decimal(amount), (), digits)) == price


@STEADY
@given(amount=COSTS, step=st.sampled_from(["0.05", "0.5", "1", "2", "5"]))
def test_never_down(amount: Decimal, step: str) -> None:
    """A price point is never under what was asked for, and less than one step above it."""
    point = to_point(amount, points((None, step, "0")), 2)
    assert amount <= point < amount + Decimal(step)


@pytest.mark.parametrize(
    ("tax", "trade", "times", "price"),
    [
        # Trade prices with tax in them, so that the price before tax does not come out even.
        ("5", "2", "1.5", "3.00"),
        ("5", "11", "2", "22.00"),
        ("7", "12", "2.5", "30.00"),
        ("19", "30", "2", "60.00"),
        ("20", "20", "2.2", "44.00"),
        ("21", "35", "1.8", "63.00"),
    ],
)
def test_times_trade(tax: str, trade: str, times: str, price: str) -> None:
    """Twice a trade price of 11 is 22 and not 23: the rest of a division lifts no price to the next point."""
    channels = {
        "shop": channel(times_trade=Decimal(times), tax_percent=Decimal(tax), price_points=points((None, "1", "0"))),
        "galleries": channel(shown_on="shops", tax_percent=Decimal(tax), price_points=points((None, "1", "0"))),
    }
    prices = unbooked_prices(channels, Decimal(trade) / (1 + Decimal(tax) / 100), 2)
    assert str(prices["galleries"].printed) == f"{trade}.00"
    assert str(prices["shop"].printed) == price


@STEADY
@given(trade=st.integers(1, 300), times=st.sampled_from(["1", "1.5", "1.8", "2", "2.2", "2.5", "3"]), tax=TAXES)
def test_times_trade_exactly(trade: int, times: str, tax: Decimal) -> None:
    """A price that follows the trade price is the one that fractions give, without any division's rest."""
    shop = channel(times_trade=Decimal(times), tax_percent=tax, price_points=points((None, "1", "0")))
    before_tax = Decimal(trade) / (1 + tax / 100)
    printed = set_price(shop, price_before_tax(shop, Decimal(0), before_tax), 2).printed
    assert printed == math.ceil(trade * Fraction(times))


@pytest.mark.parametrize(
    ("tax", "printed", "before", "paid"),
    [("included", "120.00", "100", "120"), ("added", "100.00", "100", "120")],
)
def test_tax(tax: str, printed: str, before: str, paid: str) -> None:
    """Where the tax is included the price is printed with it, else without; the buyer pays the same."""
    price = set_price(channel(tax_percent=20, tax=tax), Decimal(100), 2)
    assert str(price.printed) == printed
    assert (price.before_tax, price.paid) == (Decimal(before), Decimal(paid))


def test_channels_keep_their_order() -> None:
    """A channel that follows the trade price may stand before it.

    Prices come in the order of the channels.
    """
    channels = {
        "stall": channel(times_trade=2),
        "galleries": channel(shown_on="shops", markup_percent=25),
        "online": channel(),
    }
    prices = unbooked_prices(channels, Decimal(8), 2)
    assert list(prices) == ["stall", "galleries", "online"]
    assert [price.printed for price in prices.values()] == [20, 10, 8]


@pytest.mark.parametrize(
    ("price", "fee", "minutes", "an_hour"),
    [
        # Cost 40, of it an hour at 30: 10 of materials.
        ("40", "0", "60", "30"),
        ("50", "0", "60", "40"),
        ("50", "10", "60", "35"),
        ("20", "0", "60", "10"),
        ("10", "0", "60", "0"),
        ("40", "0", "0", "0"),
    ],
)
def test_an_hour(price: str, fee: str, minutes: str, an_hour: str) -> None:
    """An hour at the bench earns what fees and all other costs leave of the price, over the minutes."""
    shop = channel(fee_percent=Decimal(fee))
    earning = read_earning(shop, set_price(shop, Decimal(price), 2), cost_of(Decimal(40), Decimal(minutes)), RATE, 2)
    assert earning.an_hour == Decimal(an_hour)


@STEADY
@given(
    total=COSTS,
    fee=FEES,
    fixed=FIXED,
    tax=TAXES,
    shown=st.sampled_from(["included", "added"]),
    digits=st.sampled_from([0, 2, 3]),
)
def test_floor(total: Decimal, fee: Decimal, fixed: Decimal, tax: Decimal, shown: str, digits: int) -> None:
    """The floor price covers cost and fees, and one minor unit less does not.

    Where tax is added, what is paid is rounded to the minor unit, and a percentage fee goes by that: the
    fee on half a minor unit is left out of account.
    """
    shop = channel(fee_percent=fee, fee_each=fixed, tax_percent=tax, tax=shown)
    minor = Decimal(1).scaleb(-digits)
    slack = DUST + (minor / 2 * fee / 100 if shown == "added" else 0)

    def profit(printed: Decimal) -> Decimal:
        return read_earning(shop, printed_price(shop, printed, digits), cost_of(total), RATE, digits).profit

    floor = read_earning(shop, set_price(shop, total, digits), cost_of(total), RATE, digits).floor
    assert floor == floor.quantize(minor)
    assert profit(floor) >= -slack
    assert profit(floor - minor) < slack
