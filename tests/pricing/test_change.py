"""Why a price changed: cost and rule as lines, and a change split over its causes to the last minor unit."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from catalog_builder.making.labour import read_times
from catalog_builder.making.quantities import read_measures, read_uses
from catalog_builder.piece.assembly import AssembledPiece
from catalog_builder.pricing.change import Basis, Cause, split_change
from catalog_builder.pricing.cost import read_cost
from catalog_builder.pricing.policy import Rule, price_before_tax, read_earning, rule_of, to_point
from catalog_builder.records.materials import MaterialPrice
from catalog_builder.records.selling.channel import Channel, PricePoint
from tests.costs import cost_of, unbooked_prices
from tests.studio import content, makings, suspension

STEADY = settings(derandomize=True, database=None, deadline=None, max_examples=200)
COSTS = st.decimals(Decimal("0.01"), Decimal(2000), places=4)
SHARES = st.decimals(Decimal(0), Decimal(40), places=1)
FIXED = st.decimals(Decimal(0), Decimal(5), places=2)
TAXES = st.sampled_from([Decimal(tax) for tax in ("0", "5", "7.7", "19", "20")])
DIGITS = st.sampled_from([0, 2, 3])
# What is left out of account: the last digits of a division that does not come out even.
DUST = Decimal("1e-8")
KEYS = ("glass-a", "glass-b", "solder", "step:cut", "step:polish", "overheads")
QUANTITIES = st.decimals(Decimal(0), Decimal(300), places=6)
PRICES = st.decimals(Decimal(0), Decimal(90), places=8)
POINTS = st.sampled_from(
    [
        (),
        (PricePoint(up_to=None, step=Decimal(1), less=Decimal("0.05")),),
        (
            PricePoint(up_to=Decimal(40), step=Decimal("0.5"), less=Decimal(0)),
            PricePoint(up_to=None, step=Decimal(5), less=Decimal(0)),
        ),
        (PricePoint(up_to=Decimal(60), step=Decimal(7), less=Decimal(0)),),
    ]
)
WAYS = st.sampled_from(["markup_percent", "margin_percent", "times_trade"])


@st.composite
def channels(draw: st.DrawFn, way: str | None = None) -> dict[str, Channel]:
    """A trade channel, and a shop that sets its price in one of the three ways."""

    def channel(rule: str, shown_on: str) -> Channel:
        share = draw(SHARES)
        keys = {
            "title": "One",
            "shown_on": shown_on,
            rule: share / 10 + 1 if rule == "times_trade" else share,
            "fee_percent": draw(st.decimals(Decimal(0), Decimal(40), places=2)),
            "fee_each": draw(FIXED),
            "day_fee": draw(FIXED) * 10,
            "sales_a_day": draw(st.integers(1, 30)),
            "tax_percent": draw(TAXES),
            "tax": draw(st.sampled_from(["included", "added"])),
            "price_points": draw(POINTS),
        }
        return Channel.model_validate(keys)

    trade = channel(draw(st.sampled_from(["markup_percent", "margin_percent"])), "shops")
    return {"stall": channel(way or draw(WAYS), "private"), "trade": trade}


@st.composite
def lines(draw: st.DrawFn) -> dict[str, tuple[Decimal, Decimal]]:
    """Quantities and unit prices of some lines of a cost."""
    keys = draw(st.sets(st.sampled_from(KEYS)))
    return {key: (draw(QUANTITIES), draw(PRICES)) for key in sorted(keys)}


@st.composite
def bases(draw: st.DrawFn, digits: int) -> Basis:
    """What a price may be made of; what was printed may be any amount of the currency."""
    rule = Rule(
        draw(st.decimals(Decimal(0), Decimal(4), places=10)), draw(st.decimals(Decimal(0), Decimal(9), places=10))
    )
    printed = Decimal(draw(st.integers(0, 10**7))).scaleb(-digits)
    return Basis(draw(lines()), rule, printed)


# Cost


def test_cost_is_linear_in_unit_prices(tmp_path: Path) -> None:
    """The cost at a blend of two price lists is the same blend of the two costs, for a real variant."""
    records = content(
        tmp_path, tables={"bench": 'hourly_rate = "30"\nbench_hours_a_year = 800\noverheads_a_year = 900'}
    )
    product = records.products[0]
    finish = records.studio.finishes["bright"]
    (made,) = makings(records)
    piece = AssembledPiece("", "plain", made, suspension(records))
    uses = read_uses(records.studio, records.materials.rows, product, finish, piece)
    times = read_times(records.studio, finish, read_measures(made), 5)
    names = sorted(records.materials.rows)
    packs = st.lists(st.decimals(Decimal(0), Decimal(500), places=2), min_size=len(names), max_size=len(names))

    def cost(packs: list[Decimal]) -> Decimal:
        prices = {name: (MaterialPrice(name, records.day, pack, ""),) for name, pack in zip(names, packs, strict=True)}
        return read_cost(
            replace(records.materials, prices=prices), records.studio.bench, records.day, uses, times
        ).total

    @STEADY
    @given(one=packs, other=packs, share=st.decimals(Decimal(0), Decimal(1), places=3))
    def holds(one: list[Decimal], other: list[Decimal], share: Decimal) -> None:
        blend = [share * a + (1 - share) * b for a, b in zip(one, other, strict=True)]
        assert abs(cost(blend) - share * cost(one) - (1 - share) * cost(other)) < DUST

    holds()


@STEADY
@given(channels=channels(), cost=COSTS, rise=COSTS, digits=DIGITS)
def test_no_price_falls_when_costs_rise(
    channels: dict[str, Channel], cost: Decimal, rise: Decimal, digits: int
) -> None:
    """When a material gets dearer, no channel's price falls, price points and taxes or not."""
    before, after = (unbooked_prices(channels, amount, digits) for amount in (cost, cost + rise))
    for name in channels:
        assert before[name].printed <= after[name].printed
        assert before[name].paid <= after[name].paid


@STEADY
@given(channels=channels("markup_percent"), total=COSTS, digits=DIGITS)
def test_no_price_is_under_its_floor(channels: dict[str, Channel], total: Decimal, digits: int) -> None:
    """After rounding up, a price by markup or margin is never under the floor price of the same cost."""
    cost = cost_of(total, Decimal(60))
    prices = unbooked_prices(channels, total, digits)
    for name, channel in channels.items():
        assert prices[name].printed >= read_earning(channel, prices[name], cost, Decimal(20), digits).floor


@STEADY
@given(
    one=channels("margin_percent"),
    other=channels("markup_percent"),
    cost=COSTS,
    rise=COSTS,
    points=POINTS,
    digits=DIGITS,
)
def test_channels_keep_their_order(
    one: dict[str, Channel],
    other: dict[str, Channel],
    cost: Decimal,
    rise: Decimal,
    points: tuple[PricePoint, ...],
    digits: int,
) -> None:
    """Where one channel's rule asks for more than another's before and after, so do its prices on the same points."""
    pair = {
        name: rules["stall"].model_copy(update={"price_points": points}) for name, rules in (("a", one), ("b", other))
    }
    rules = {name: rule_of(pair, name) for name in pair}
    low, high = sorted(pair, key=lambda name: (rules[name].shown(cost), rules[name].shown(cost + rise)))
    assume(rules[low].shown(cost + rise) <= rules[high].shown(cost + rise))
    for amount in (cost, cost + rise):
        prices = unbooked_prices(pair, amount, digits)
        assert prices[low].printed <= prices[high].printed


# The rule as a line


@STEADY
@given(channels=channels(), cost=COSTS)
def test_a_rule_is_a_line_in_the_cost(channels: dict[str, Channel], cost: Decimal) -> None:
    """Times the cost plus an amount is what the channel asks for, shown with its tax or without.

    A channel that follows the trade price does so before that is rounded up.
    """

    def asked(name: str) -> Decimal:
        trade = asked("trade") if name != "trade" else Decimal(0)
        return price_before_tax(channels[name], cost, trade)

    for name, channel in channels.items():
        shown = 1 + channel.tax_percent / 100 if channel.tax == "included" else Decimal(1)
        assert abs(rule_of(channels, name).shown(cost) - asked(name) * shown) < DUST


@STEADY
@given(channels=channels("markup_percent"), cost=COSTS, digits=DIGITS)
def test_a_printed_price_is_its_rule_up_to_the_price_point(
    channels: dict[str, Channel], cost: Decimal, digits: int
) -> None:
    """What is printed is what the rule gives, up to the next price point, and by markup or margin nothing else."""
    prices = unbooked_prices(channels, cost, digits)
    for name, channel in channels.items():
        shown = rule_of(channels, name).shown(cost)
        assert prices[name].printed == to_point(shown, channel.points, digits)


# The split


@STEADY
@given(data=st.data(), digits=DIGITS)
def test_a_split_adds_up_to_the_change(data: st.DataObject, digits: int) -> None:
    """Whatever moved, the causes add up to the change to the last minor unit, and each is a whole number of them."""
    old, new = data.draw(bases(digits)), data.draw(bases(digits))
    causes = split_change(old, new, digits)
    assert sum((cause.amount for cause in causes), Decimal(0)) == new.printed - old.printed
    assert all(cause.amount == cause.amount.quantize(Decimal(1).scaleb(-digits)) for cause in causes)
    assert all(cause.amount for cause in causes)
    assert [abs(cause.amount) for cause in causes] == sorted((abs(cause.amount) for cause in causes), reverse=True)
    assert len({(cause.kind, cause.key) for cause in causes}) == len(causes)


@STEADY
@given(data=st.data(), digits=DIGITS)
def test_a_cause_is_off_by_less_than_a_minor_unit(data: st.DataObject, digits: int) -> None:
    """The causes of materials are their own amounts, times the channel's rule, to less than one minor unit."""
    old, new = data.draw(bases(digits)), data.draw(bases(digits))
    causes_by_key = {(cause.kind, cause.key): cause.amount for cause in split_change(old, new, digits)}
    for key in set(old.lines) & set(new.lines) & {"glass-a", "glass-b", "solder"}:
        (quantity, price), (quantity_now, price_now) = old.lines[key], new.lines[key]
        dearer = new.rule.times * quantity * (price_now - price)
        more = new.rule.times * price_now * (quantity_now - quantity)
        for kind, amount in (("price", dearer), ("quantity", more)):
            assert abs(causes_by_key.get((kind, key), Decimal(0)) - amount) < Decimal(1).scaleb(-digits)


@STEADY
@given(data=st.data(), digits=DIGITS)
def test_nothing_moved_has_no_cause(data: st.DataObject, digits: int) -> None:
    """A price that is made of the same things has no cause of change."""
    basis = data.draw(bases(digits))
    assert split_change(basis, basis, digits) == ()


LINES = {
    "sea": (Decimal(2), Decimal(3)),
    "solder": (Decimal(10), Decimal("0.5")),
    "step:cut": (Decimal(6), Decimal("0.5")),
    "step:wash": (Decimal(2), Decimal("0.5")),
    "overheads": (Decimal(8), Decimal("0.125")),
}
TWICE = Rule(Decimal(2), Decimal(1))


@pytest.mark.parametrize(
    ("now", "rule", "printed", "causes"),
    [
        # A cost of 16 at twice and 1 asks for 33, which is printed.
        ({"sea": ("2", "4")}, TWICE, "37", [("price", "sea", "4")]),
        ({"solder": ("13", "0.5")}, TWICE, "36", [("quantity", "solder", "3")]),
        ({"step:cut": ("6", "0.6"), "step:wash": ("2", "0.6")}, TWICE, "34.60", [("rate", "", "1.60")]),
        ({"step:wash": ("5", "0.5")}, TWICE, "36", [("minutes", "wash", "3")]),
        ({"overheads": ("8", "0.25")}, TWICE, "35", [("overheads", "", "2")]),
        ({"overheads": ("10", "0.125")}, TWICE, "33.50", [("minutes", "overheads", "0.50")]),
        ({}, Rule(Decimal("2.5"), Decimal(1)), "41", [("terms", "", "8")]),
        ({}, Rule(Decimal(2), Decimal("1.75")), "33.75", [("terms", "", "0.75")]),
        ({}, TWICE, "35", [("rounding", "", "2")]),
        # Glass that is new or gone counts with all of it.
        ({"sea": None, "sky": ("1", "6")}, TWICE, "33", [("quantity", "sea", "-12"), ("quantity", "sky", "12")]),
        # 6 dearer and 4 less of the rounding: 33 becomes 35.
        ({"sea": ("2", "4.5")}, TWICE, "35", [("price", "sea", "6"), ("rounding", "", "-4")]),
    ],
)
def test_each_cause_has_its_own_kind(
    now: dict[str, tuple[str, str] | None], rule: Rule, printed: str, causes: list[tuple[str, str, str]]
) -> None:
    """What moved a price is named: a material's price or quantity, the rate, minutes, overheads, terms, rounding."""
    changed = {key: (Decimal(pair[0]), Decimal(pair[1])) for key, pair in now.items() if pair is not None}
    gone = {key for key, pair in now.items() if pair is None}
    new = {key: pair for key, pair in {**LINES, **changed}.items() if key not in gone}
    split = split_change(Basis(LINES, TWICE, Decimal(33)), Basis(new, rule, Decimal(printed)), 2)
    assert split == tuple(Cause(kind, key, Decimal(amount)) for kind, key, amount in causes)


def test_leftover_minor_units_go_where_most_was_lost() -> None:
    """Three equal thirds of a penny make one penny, on one cause: none is lost and none is made up."""
    old = {key: (Decimal(1), Decimal(1)) for key in ("a", "b", "c")}
    new = {key: (Decimal(1), Decimal(1) + Decimal("0.01") / 3) for key in old}
    line = Rule(Decimal(1), Decimal(0))
    causes = split_change(Basis(old, line, Decimal("3.00")), Basis(new, line, Decimal("3.01")), 2)
    assert causes == (Cause("price", "a", Decimal("0.01")),)
