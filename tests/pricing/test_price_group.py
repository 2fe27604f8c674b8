"""Variants of one price: it is what the dearest needs, or the usual one; no floor price is gone under."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog_builder.pricing.book import ChannelPrice, Terms, product_prices
from catalog_builder.pricing.policy import floor_of
from catalog_builder.pricing.price_group import Member
from catalog_builder.records.selling.channel import Channel
from catalog_builder.records.selling.price_book import NO_PRICES
from tests.pricing.test_change import COSTS, DIGITS, STEADY, channels

BOTH = ("glass", "finish")
LISTS = st.lists(st.integers(1, 400), min_size=1, max_size=9, unique=True).map(sorted)


def terms(digits: int = 2) -> Terms:
    """A day on which nothing is recorded and no price is held."""
    return Terms(date(2031, 5, 4), digits, held=False, band_percent=Decimal(0))


def channel(**keys: object) -> Channel:
    """A private channel by its keys."""
    return Channel.model_validate({"title": "Stall", "shown_on": "private", **keys})


def member(sku: str, cost: str, count: int = 0, glass: str = "", finish: str = "black") -> Member:
    """A variant of one size."""
    return Member(sku, "small", finish, glass or sku, Decimal(cost), count)


def priced(
    all_channels: Mapping[str, Channel], members: Sequence[Member], digits: int = 2
) -> Mapping[str, Mapping[str, ChannelPrice]]:
    """The prices of variants, no price being recorded."""
    return product_prices(NO_PRICES, all_channels, members, terms(digits))


@st.composite
def families(draw: st.DrawFn) -> list[Member]:
    """Variants of one size, each with its cost and how many of it there were."""
    costs = draw(st.lists(COSTS, min_size=1, max_size=5))
    return [
        Member(f"v{at}", "small", "black", f"g{at}", cost, draw(st.integers(0, 20))) for at, cost in enumerate(costs)
    ]


def shared(all_channels: Mapping[str, Channel], **keys: object) -> dict[str, Channel]:
    """The same channels, each with one price for every glass and finish."""
    return {name: each.model_copy(update={"same_price_for": BOTH, **keys}) for name, each in all_channels.items()}


# Properties


@STEADY
@given(one=channels(), members=families(), digits=DIGITS)
def test_the_dearest_carries_the_others(one: dict[str, Channel], members: list[Member], digits: int) -> None:
    """A group's price is the highest of those that its members would have alone: at or over what each needs."""
    alone, together = priced(one, members, digits), priced(shared(one), members, digits)
    for name in one:
        highest = max(alone[each.sku][name].policy.printed for each in members)
        for each in members:
            standing = together[each.sku][name]
            assert standing.policy.printed == highest
            assert standing.alone <= standing.policy.printed
            if name == "trade":  # the other may follow it, and then alone follows the group's
                assert standing.alone == alone[each.sku][name].policy.printed


@STEADY
@given(one=channels("markup_percent"), members=families(), digits=DIGITS)
def test_the_usual_price_goes_under_no_floor(one: dict[str, Channel], members: list[Member], digits: int) -> None:
    """By what members usually need, the price covers cost and fees of each, and is not over what the dearest needs."""
    usual, dearest = priced(shared(one, group_price="usual"), members, digits), priced(shared(one), members, digits)
    for name, each_channel in one.items():
        for each in members:
            price = usual[each.sku][name].policy.printed
            assert price >= floor_of(each_channel, each.cost, digits)
            assert price <= dearest[each.sku][name].policy.printed


@STEADY
@given(one=channels(), members=families(), digits=DIGITS, way=st.sampled_from(["dearest", "usual"]))
def test_where_a_price_comes_from_gives_its_target(
    one: dict[str, Channel], members: list[Member], digits: int, way: str
) -> None:
    """The rule of a group's origin on the costs that have a part in it is what is rounded to the price."""
    costs = {each.sku: each.cost for each in members}
    # Without price points and with followed prices unrounded, nothing is added but the last minor unit.
    plain = {
        name: each.model_copy(update={"price_points": (), "group_price": way}) for name, each in shared(one).items()
    }
    standings = priced(plain, members, digits)
    for name in [name for name in plain if not plain[name].leader(plain)]:
        for each in members:
            standing = standings[each.sku][name]
            cost = sum((part * costs[sku] for sku, part in standing.origin.parts), Decimal(0))
            target = standing.origin.rule.shown(cost)
            assert sum(part for _, part in standing.origin.parts) == pytest.approx(1)
            assert (
                0 <= standing.policy.printed - target + Decimal("1e-8") < Decimal(1).scaleb(-digits) + Decimal("2e-8")
            )


@STEADY
@given(prices=LISTS, cost=COSTS, rounding=st.sampled_from(["up", "nearest", "down"]))
def test_a_price_of_a_list_is_in_it(prices: list[int], cost: Decimal, rounding: str) -> None:
    """Up to the last price of a list nothing else is printed; above it, whole steps of the list's last one."""
    one = {"stall": channel(markup_percent=0, prices=prices, rounding=rounding)}
    printed = priced(one, [Member("pane", "", "black", "plain", cost)])["pane"]["stall"].policy.printed
    last = prices[-1]
    step = last - prices[-2] if len(prices) > 1 else last
    assert printed in prices or (printed > last and (printed - last) % step == 0)
    assert printed >= cost


# By hand


@pytest.mark.parametrize(
    ("cost", "rounding", "price"),
    [
        ("17.99", "up", "18"),
        ("18", "up", "18"),
        ("18.01", "up", "24"),
        ("25", "nearest", "32"),
        ("33", "nearest", "45"),
        ("45", "up", "45"),
        # Above the last: 45 and 13, the list's last step, and 13 again.
        ("45.01", "up", "58"),
        ("60", "up", "71"),
        ("5", "down", "18"),
    ],
)
def test_a_list_of_prices(cost: str, rounding: str, price: str) -> None:
    """18, 24, 32, 45, and then on by 13. Rounding never goes under the floor price, which is the cost here."""
    one = {"stall": channel(markup_percent=0, prices=[18, 24, 32, 45], rounding=rounding)}
    assert priced(one, [member("pane", cost)])["pane"]["stall"].policy.printed == Decimal(price)


RED, BLUE = member("red", "20", 1), member("blue", "26", 3)


@pytest.mark.parametrize(
    ("keys", "price", "parts"),
    [
        # Half as much again as the dearest costs: 1.5 x 26.
        ({}, "39.00", [("blue", "1")]),
        # 1.5 x (20 x 1/4 + 26 x 3/4) = 36.75.
        ({"group_price": "usual"}, "36.75", [("red", "0.25"), ("blue", "0.75")]),
    ],
)
def test_a_group_by_hand(keys: dict[str, object], price: str, parts: list[tuple[str, str]]) -> None:
    """Two variants that cost 20 and 26, of which there were one and three, with a markup of a half."""
    one = {"stall": channel(markup_percent=50, same_price_for=["glass"], **keys)}
    standings = priced(one, [RED, BLUE])
    assert {sku: standing["stall"].policy.printed for sku, standing in standings.items()} == dict.fromkeys(
        ("red", "blue"), Decimal(price)
    )
    assert [standing["stall"].alone for standing in standings.values()] == [Decimal("30.00"), Decimal("39.00")]
    assert standings["red"]["stall"].origin.parts == tuple((sku, Decimal(part)) for sku, part in parts)
    assert (standings["red"]["stall"].group, standings["red"]["stall"].shared_by) == ("red", 2)


def test_a_usual_price_is_lifted_to_the_dearest_floor() -> None:
    """By 1.1 x (10 x 0.9 + 40 x 0.1) = 14.30 the dear one would be sold under its cost: 40 is asked for both."""
    one = {"stall": channel(markup_percent=10, same_price_for=["glass"], group_price="usual")}
    standings = priced(one, [member("cheap", "10", 9), member("dear", "40", 1)])
    assert {standing["stall"].policy.printed for standing in standings.values()} == {Decimal("40.00")}
    assert standings["cheap"]["stall"].origin.main == "dear"


def test_where_nothing_was_made_all_weigh_the_same() -> None:
    """1.5 x (20 + 26) / 2 = 34.50."""
    one = {"stall": channel(markup_percent=50, same_price_for=["glass"], group_price="usual")}
    standings = priced(one, [member("red", "20"), member("blue", "26")])
    assert standings["red"]["stall"].policy.printed == Decimal("34.50")


@pytest.mark.parametrize(
    ("same", "groups"),
    [
        ((), {"a": "a", "b": "b", "c": "c", "d": "d"}),
        (("glass",), {"a": "a", "b": "a", "c": "c", "d": "c"}),
        (("finish",), {"a": "a", "b": "b", "c": "a", "d": "b"}),
        (("glass", "finish"), dict.fromkeys("abcd", "a")),
    ],
)
def test_who_has_one_price(same: tuple[str, ...], groups: dict[str, str]) -> None:
    """Two glasses in two finishes: what does not change the price joins them, and a product's word goes first."""
    members = [
        member("a", "1", glass="red", finish="black"),
        member("b", "2", glass="blue", finish="black"),
        member("c", "3", glass="red", finish="copper"),
        member("d", "4", glass="blue", finish="copper"),
    ]
    by_channel = priced({"stall": channel(markup_percent=0, same_price_for=same)}, members)
    assert {sku: standing["stall"].group for sku, standing in by_channel.items()} == groups
    plain = {"stall": channel(markup_percent=0, same_price_for=("glass", "finish") if not same else ())}
    own = Terms(date(2031, 5, 4), 2, held=False, band_percent=Decimal(0), same_price_for=same)  # type: ignore[arg-type]
    by_product = product_prices(NO_PRICES, plain, members, own)
    assert {sku: standing["stall"].group for sku, standing in by_product.items()} == groups


def test_sizes_keep_prices_of_their_own() -> None:
    """A larger piece of the same glass is another thing to a buyer."""
    members = [Member("s", "small", "black", "red", Decimal(10)), Member("l", "large", "black", "red", Decimal(20))]
    standings = priced({"stall": channel(markup_percent=0, same_price_for=BOTH)}, members)
    assert [standing["stall"].policy.printed for standing in standings.values()] == [10, 20]
