"""Channels that agree: one follows another or is held to it, ratios hold after rounding, and what disagrees is told."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from catalog_builder.build import calculate
from catalog_builder.pricing.agreement import agreement_findings, left_to_shop, prices_hung
from catalog_builder.pricing.policy import floor_of, rule_of, to_point
from catalog_builder.pricing.suppositions.suppose import suppose
from catalog_builder.publish.studio_calculation import StudioCalculation, quiet
from catalog_builder.records.selling.channel import Channel
from catalog_builder.records.selling.channel_check import pricing_order
from tests.book import book_file, by_hand, dearer, moved, record
from tests.costs import unbooked_prices
from tests.pricing.test_change import COSTS, DIGITS, DUST, POINTS, STEADY, TAXES, channels
from tests.studio import DAY, assumed, content, project
from tests.studio import record as pane

DAILY = timedelta(days=1)
PERCENTS = st.decimals(Decimal(1), Decimal(400), places=1)
# Two choices of glass: `pale` costs more or less than `plain` as the two materials do.
TWO_GLASSES = pane().replace(
    "  plain:\n    pieces: {left: reed, right: slate}\n",
    "  plain:\n    title: Plain\n    pieces: {left: reed, right: slate}\n"
    "  pale:\n    title: Pale\n    pieces: {left: slate, right: slate}\n",
)
PLAIN, PALE = "pane--bright--plain", "pane--bright--pale"
AGREED = {
    "channels.online": 'title = "Own site"\nshown_on = "catalogue"\nmarkup_percent = 150\nsame_price_for = ["glass"]',
    "channels.stall": 'title = "Stall"\nshown_on = "stall"\nfollows = "online"',
    "channels.trade": 'title = "Shops"\nshown_on = "shops"\nfollows = "online"\nat_percent = 50',
}


def channel(**keys: object) -> Channel:
    """A private channel by its keys."""
    return Channel.model_validate({"title": "Stall", "shown_on": "private", **keys})


def agreed(root: Path, tables: Mapping[str, str] | None = None, keys: str = "") -> StudioCalculation:
    """A studio with one product in two glasses, whose channels agree but for what ``tables`` say."""
    text = TWO_GLASSES.replace("---\nTwo panes", f"{keys}\n---\nTwo panes") if keys else TWO_GLASSES
    return calculate(project(root, {"pane": text}, {**AGREED, **(tables or {})}), DAY, quiet)


def told(calculated: StudioCalculation) -> dict[str, str]:
    """What is found of channels, by code."""
    return {
        each.code: each.text for each in calculated.worded_findings if each.code in {f"C{at:02}" for at in range(8, 14)}
    }


# Ratios


@STEADY
@given(
    one=channels(),
    percent=PERCENTS,
    points=POINTS,
    rounding=st.sampled_from(["up", "nearest", "down"]),
    cost=COSTS,
    digits=DIGITS,
)
def test_a_share_holds_as_far_as_rounding_allows(
    one: dict[str, Channel], percent: Decimal, points: object, rounding: str, cost: Decimal, digits: int
) -> None:
    """A price that follows another is its share of it, to the price point that its rounding takes it to."""
    lead = one["trade"]
    follower = channel(
        follows="trade",
        at_percent=percent,
        price_points=points,
        rounding=rounding,
        tax_percent=lead.tax_percent,
        tax=lead.tax,
    )
    prices = unbooked_prices({**one, "follower": follower}, cost, digits)
    exact = prices["trade"].printed * percent / 100
    printed, floor = prices["follower"].printed, floor_of(follower, cost, digits)
    rounded = to_point(exact, follower.points, digits, rounding)  # type: ignore[arg-type]
    assert printed == rounded or (rounded < floor <= printed == to_point(floor, follower.points, digits))
    if not points and rounding == "up":
        assert 0 <= printed - exact + DUST < Decimal(1).scaleb(-digits) + 2 * DUST


@STEADY
@given(one=channels("markup_percent"), cost=COSTS, digits=DIGITS, tax=TAXES)
def test_the_same_price_is_the_same_to_the_last_unit(
    one: dict[str, Channel], cost: Decimal, digits: int, tax: Decimal
) -> None:
    """Without price points of its own, a channel that takes another's price prints just that, whatever its fees."""
    lead = one["trade"].model_copy(update={"tax_percent": tax})
    follower = channel(follows="trade", tax_percent=tax, tax=lead.tax, fee_percent=7, fee_each=1)
    second = channel(follows="first", tax_percent=tax, tax=lead.tax)
    prices = unbooked_prices({"second": second, "first": follower, "trade": lead}, cost, digits)
    assert prices["first"] == prices["second"] == prices["trade"]


@STEADY
@given(
    one=channels("margin_percent"), points=POINTS, cost=COSTS, digits=DIGITS, key=st.sampled_from(["above", "below"])
)
def test_a_price_is_held_to_another(
    one: dict[str, Channel], points: object, cost: Decimal, digits: int, key: str
) -> None:
    """A price never stands on the wrong side of the one that it is held to, but for its own floor price."""
    lead = one["trade"]
    keys = {f"never_{key}": "trade", "price_points": points, "tax_percent": lead.tax_percent, "tax": lead.tax}
    held = one["stall"].model_copy(update=channel(markup_percent=0, **keys).model_dump(include=set(keys)))
    held = held.model_copy(update={"price_points": channel(markup_percent=0, **keys).price_points})
    assume(held.fee_percent * (1 + held.tax_percent / 100) + (held.margin_percent or 0) < 100)
    prices = unbooked_prices({"trade": lead, "stall": held}, cost, digits)
    free = unbooked_prices({"trade": lead, "stall": held.model_copy(update={f"never_{key}": None})}, cost, digits)
    printed, limit = prices["stall"].printed, prices["trade"].printed
    if key == "below":
        assert printed >= limit
        assert printed == free["stall"].printed or free["stall"].printed < limit
    else:
        floor = floor_of(held, cost, digits)
        assert printed <= limit or printed == to_point(floor, held.points, digits)
        assert printed >= min(floor, free["stall"].printed)


@STEADY
@given(one=channels(), percent=PERCENTS, cost=COSTS)
def test_what_follows_is_a_line_in_the_cost_too(one: dict[str, Channel], percent: Decimal, cost: Decimal) -> None:
    """The rule of a channel that follows a follower is its share of the leader's rule, tax or not."""
    lead = one["trade"]
    chain = {
        "trade": lead,
        "first": channel(follows="trade", at_percent=percent, tax_percent=lead.tax_percent, tax=lead.tax),
        "second": channel(follows="first", at_percent=200, tax_percent=lead.tax_percent, tax=lead.tax),
    }
    shown = rule_of(chain, "trade").shown(cost) * percent / 100 * 2
    assert abs(rule_of(chain, "second").shown(cost) - shown) < DUST


def test_another_tax_is_taken_out_of_what_the_buyer_pays() -> None:
    """24.00 with 20 % of tax in it is also 24.00 where there is 5 % in it, and 22.86 before 5 % that is added."""
    lead = channel(markup_percent=0, tax_percent=20)
    inside = channel(follows="lead", tax_percent=5)
    added = channel(follows="lead", tax_percent=5, tax="added")
    prices = unbooked_prices({"lead": lead, "inside": inside, "added": added}, Decimal(20), 2)
    assert [prices[name].printed for name in ("lead", "inside", "added")] == [24, 24, Decimal("22.86")]


def test_channels_are_priced_after_those_that_they_look_at() -> None:
    """Whatever the order of the file, a channel comes after the one that it follows and those it is held to."""
    chain = {
        "a": channel(follows="b"),
        "b": channel(markup_percent=1, never_below="c", never_above="d"),
        "c": channel(follows="d"),
        "d": channel(markup_percent=2),
    }
    assert pricing_order(chain) == ("d", "c", "b", "a")


@pytest.mark.parametrize(
    ("keys", "price"),
    [
        ({"never_above": "low"}, "20"),
        ({"never_below": "high"}, "40"),
        # 20 is under 21, the lowest price point: the other's own price is taken.
        ({"never_above": "low", "price_points": [{"step": 21}]}, "20"),
        ({"never_above": "low", "price_points": [{"step": 3}]}, "18"),
        ({"never_below": "high", "price_points": [{"step": 3}]}, "42"),
        # Its own fee takes the floor price to 10 + 15: that goes before the other's 20.
        ({"never_above": "low", "fee_each": 15}, "25"),
        # Up goes before down.
        ({"never_above": "low", "never_below": "high"}, "40"),
    ],
)
def test_holding_by_hand(keys: dict[str, object], price: str) -> None:
    """A cost of 10 asks for 30 here, 20 and 40 there."""
    prices = unbooked_prices(
        {
            "low": channel(markup_percent=100),
            "high": channel(markup_percent=300),
            "stall": channel(markup_percent=200, **keys),
        },
        Decimal(10),
        2,
    )
    assert prices["stall"].printed == Decimal(price)


# The book


def test_the_price_in_force_is_followed(tmp_path: Path) -> None:
    """A price of the book is the stall's too, and half of it is what shops pay; groups stay as they are."""
    agreed(tmp_path)
    by_hand(tmp_path, f"2031-01-01,{PLAIN},online,99.00", f"2031-01-01,{PALE},online,99.00")
    for variant in calculate(tmp_path, DAY, quiet).calculations:
        printed = {name: price.printed for name, price in variant.prices.items()}
        assert printed == {"online": 99, "stall": 99, "trade": Decimal("49.50")}


@pytest.mark.parametrize("way", ["dearest", "usual"])
@pytest.mark.parametrize(("glass", "price"), [("reed", "40.00"), ("slate", "31.00"), ("solder", "99.00")])
def test_causes_add_up_for_groups_and_followers(tmp_path: Path, way: str, glass: str, price: str) -> None:
    """Whichever variant carries the others then and now, the causes are the change to the last penny."""
    online = f'{AGREED["channels.online"]}\ngroup_price = "{way}"'
    agreed(tmp_path, {"channels.online": online, "channels.stall": f'{AGREED["channels.stall"]}\nrounding = "down"'})
    assert record(tmp_path) == 6
    dearer(tmp_path, glass, price, DAY + DAILY)
    moves = moved(tmp_path, DAY + DAILY)
    assert len(moves) == 6
    for move in moves:
        assert sum(cause.amount for cause in move.causes) == move.by
        assert {cause.kind for cause in move.causes} <= {"price", "quantity", "rounding"}
        assert any(cause.key == glass for cause in move.causes)
    assert record(tmp_path, DAY + DAILY) == 6
    assert moved(tmp_path, DAY + DAILY) == ()


def test_a_band_moves_variants_of_one_price_together(tmp_path: Path) -> None:
    """Where one of a group is published at another price, the band keeps none: recorded, all have one again."""
    agreed(tmp_path, {"book": "keep_within_percent = 90"})
    assert record(tmp_path, DAY - DAILY) == 6
    with book_file(tmp_path).open("a", encoding="utf-8") as file:
        file.write(f"{DAY},{PLAIN},online,30.00,,,,,\n{DAY},{PALE},online,31.00,,,,,\n")
    before = calculate(tmp_path, DAY, quiet)
    assert told(before)["C12"].endswith(f"from €30.00 to €31.00; its first variant is {PLAIN}")
    record(tmp_path)
    after = calculate(tmp_path, DAY, quiet)
    assert len({variant.prices["online"].printed for variant in after.calculations}) == 1
    assert "C12" not in told(after)


# Hours


def test_a_stall_carries_hours_as_it_carries_its_pitch(tmp_path: Path) -> None:
    """42 of pitch and 9 hours at 19 are 213, of which each of 24 sales carries 8.875; a supposed rate moves it."""
    stall = 'title = "Stall"\nshown_on = "stall"\nmarkup_percent = 0\nday_fee = 42\nday_hours = 9\nsales_a_day = 24'
    bench = 'hourly_rate = "19"\nbench_hours_a_year = 800'
    records = content(tmp_path, tables={"channels.stall": stall, "bench": bench})
    assert records.studio.channels["stall"].fixed_fee == Decimal("8.875")
    supposed = suppose(assumed(records), "rate=25").studio
    assert supposed.channels["stall"].fixed_fee == (42 + 9 * Decimal(25)) / 24
    assert records.studio.channels["stall"].fixed_fee == Decimal("8.875")


# Findings


def test_nothing_is_told_of_channels_that_agree(tmp_path: Path) -> None:
    """One retail price everywhere, and half of it for shops that need half."""
    calculated = agreed(tmp_path, {"channels.trade": f"{AGREED['channels.trade']}\nshop_needs_percent = 50"})
    assert told(calculated) == {}
    assert {left_to_shop(calculated.content.studio, each, "trade") for each in calculated.calculations} == {
        Decimal("0.5")
    }


@pytest.mark.parametrize(
    ("tables", "code", "words"),
    [
        (
            {"channels.stall": 'title = "Stall"\nshown_on = "stall"\nfollows = "online"\nat_percent = 110'},
            "C10",
            "2 variants of 2 have another price at the stall than on their pages",
        ),
        (
            {
                "channels.window": 'title = "Gallery"\nshown_on = "stockists"\nfollows = "online"\nat_percent = 120\n'
                "fee_percent = 40"
            },
            "C08",
            "the site undercuts “Gallery” with 2 variants",
        ),
        (
            {"channels.trade": f"{AGREED['channels.trade']}\nshop_needs_percent = 51"},
            "C09",
            "“Shops” leaves a shop less of the site's price than the 51% it needs, with 2 variants: 50%",
        ),
        (
            {
                "channels.window": 'title = "Gallery"\nshown_on = "stockists"\nfollows = "online"\nfee_percent = 30\n'
                "shop_needs_percent = 40"
            },
            "C09",
            "“Gallery” leaves a shop less of the site's price than the 40% it needs, with 2 variants: 30%",
        ),
        (
            {"channels.online": f"{AGREED['channels.online']}\nprices = [5, 7]"},
            "C13",
            "“Own site”: 2 prices are over €7.00, the last of its list, up to",
        ),
        (
            # Its fee alone is more than the site's whole price.
            {
                "channels.far": 'title = "Far fair"\nshown_on = "private"\nmarkup_percent = 0\nfee_each = 900\n'
                'never_above = "online"'
            },
            "C11",
            "“Far fair” is to be never above “Own site”, and 2 variants are",
        ),
    ],
)
def test_what_disagrees_is_told(tmp_path: Path, tables: dict[str, str], code: str, words: str) -> None:
    """Each disagreement has its finding, and gives no other."""
    findings = told(agreed(tmp_path, tables))
    assert list(findings) == [code]
    assert findings[code].startswith(words)


def test_what_is_sold_is_not_compared(tmp_path: Path) -> None:
    """A piece that cannot be bought hangs at no price, and disagrees with nothing."""
    stall = {"channels.stall": 'title = "Stall"\nshown_on = "stall"\nmarkup_percent = 900'}
    calculated = agreed(tmp_path, stall, keys="availability: sold")
    assert told(calculated) == {}
    assert prices_hung(calculated.calculations, "stall") == {}
    assert list(agreement_findings(calculated.content.studio, calculated.calculations)) == []


def test_prices_that_hang_are_counted(tmp_path: Path) -> None:
    """Two glasses of one price make one price to hang; without the key they make two."""
    shared = agreed(tmp_path / "shared").calculations
    (price,) = {each.prices["stall"].printed for each in shared}
    assert prices_hung(shared, "stall") == {price: 2}
    own = {"channels.online": AGREED["channels.online"].replace('\nsame_price_for = ["glass"]', "")}
    root = project(tmp_path / "own", {"pane": TWO_GLASSES}, {**AGREED, **own}, prices="reed,2031-01-01,30.00\n")
    apart = prices_hung(calculate(root, DAY, quiet).calculations, "stall")
    assert sorted(apart.values()) == [1, 1]
    assert list(apart) == sorted(apart)
