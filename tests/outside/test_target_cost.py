"""What a given price may cost, against worked examples of target costing and of a target income.

Market price less the profit that is asked for is the target cost: a managerial accounting textbook's chapter 8 on
pricing, solutions to exercises 8-1 to 8-3 (T), read in a stored copy at studylib.net/doc/8093588. Fixed costs of
18,000 and a contribution of 80 a unit break even at 225 units; 425 units leave 16,000: OpenStax, Principles of
Accounting, volume 2, chapter 3 (S; as in test_accounting.py).
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from catalog_builder.phrase import Phrase
from catalog_builder.pricing.cost import Cost, CostLine
from catalog_builder.pricing.suppositions.given_price import GivenPrice
from catalog_builder.records.selling.channel import Channel
from catalog_builder.records.studio import Bench

UNSAID = Phrase("basis.nothing")


def given(printed: str, rate: str = "1", **keys: object) -> GivenPrice:
    """A price in a channel of these keys; an hour is paid a rate and carries no overheads."""
    channel = Channel.model_validate({"title": "One", "shown_on": "private", **keys})
    bench = Bench.model_validate({"hourly_rate": rate, "bench_hours_a_year": 1000})
    return GivenPrice(channel, Decimal(printed), bench, 2)


def making(materials: str, minutes: str, rate: str = "1") -> Cost:
    """A cost of materials, and of minutes at a rate for an hour."""
    lines = (
        CostLine("glass", "Glass", Decimal(1), "each", Decimal(materials), UNSAID, "", UNSAID, "glass"),
        CostLine("labour", "Work", Decimal(minutes), "min", Decimal(rate) / 60, UNSAID, "", UNSAID, "step:work"),
    )
    return Cost(lines, Decimal(minutes), Decimal(0))


@pytest.mark.parametrize(
    ("price", "rule", "cost"),
    [
        # 8-1: a market price of 20 and a profit of 30 % of it leave 14.
        ("20", {"margin_percent": "30"}, "14"),
        # 8-2: 90 less a profit of 16 (20 % of 8,000,000 over 100,000 units) leave 74.
        ("90", {"margin_percent": 0, "fee_each": "16"}, "74"),
        # 8-3: 100 less 20 leave 80.
        ("100", {"margin_percent": "20"}, "80"),
        # The same profits as markups on the cost: 6 is three sevenths of 14, 20 a quarter of 80 (algebra).
        ("100", {"markup_percent": "25"}, "80"),
    ],
    ids=["T-8-1", "T-8-2", "T-8-3", "markup"],
)
def test_target_cost(price: str, rule: dict[str, Any], cost: str) -> None:
    """Market price less the profit that is asked for."""
    assert given(price, **rule).target_cost == Decimal(cost)


def test_a_channel_that_follows_another_asks_for_no_profit() -> None:
    """It has no rule of its own that a cost could be held to."""
    assert given("20", follows="site").target_cost is None


@pytest.mark.parametrize(("units", "income"), [(225, 0), (425, 16_000)])
def test_the_income_of_a_season_is_the_pay_of_its_hours(units: int, income: int) -> None:
    """At 100 a unit, with 20 of material and 18,000 of fixed fees, the hours that pay their rate earn the income."""
    price = given("100", "30", markup_percent=0, day_fee=18_000, sales_a_day=units)
    left = price.leaves(making("20", "60", "30"))
    assert left.minutes / 60 * 30 * units == pytest.approx(income, abs=Decimal("1e-9"))
    # Worked for just these minutes, a unit covers its cost, and an hour earns the rate.
    if income:
        exact = price.leaves(making("20", str(left.minutes), "30"))
        assert exact.pays
        assert exact.earning.an_hour == pytest.approx(Decimal(30), abs=Decimal("1e-9"))
