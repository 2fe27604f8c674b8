"""What a discount at the stall leaves, held against amounts worked out by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest

from catalog_builder.pricing.cost import Cost
from catalog_builder.pricing.discount import Discount, most_percent_off, read_discounts, reduced_prices
from catalog_builder.records.selling.channel import Channel
from catalog_builder.records.selling.discounts import Discounts
from tests.costs import cost_of

# The table as a channel of studio.toml would have it: 2 % card fee, and 2.00 of the pitch on each sale.
STALL = Channel.model_validate(
    {"title": "Stall", "shown_on": "stall", "markup_percent": 50, "fee_percent": 2, "day_fee": 40, "sales_a_day": 20}
)
TAXED = STALL.model_copy(update={"tax_percent": Decimal(20)})


def costing(amount: str) -> Cost:
    """One hour of work at an amount, and nothing else."""
    return cost_of(Decimal(amount), Decimal(60))


COST = costing("29.40")


def taken(channel: Channel, record: Discounts, price: str = "40.00") -> list[tuple[Decimal, Decimal, bool]]:
    """Price, what is left, and whether it covers, for each discount on a price."""
    steps = reduced_prices(channel, Decimal(price), COST, read_discounts(record), 2)
    return [(step.price, step.left_after_fees, step.covers) for step in steps]


def test_a_ladder_worked_by_hand() -> None:
    """Of a price P the stall leaves P - 0.02 P - 2; the floor price is (29.40 + 2) / 0.98 = 32.0408..., so 32.05."""
    assert COST.total == Decimal("29.40")
    assert taken(STALL, Discounts.model_validate({})) == [
        (Decimal("38.00"), Decimal("35.24"), True),
        (Decimal("36.00"), Decimal("33.28"), True),
        (Decimal("34.00"), Decimal("31.32"), True),
        # 32.00 - 0.64 - 2.00 = 29.36, which is 0.04 less than the cost.
        (Decimal("32.00"), Decimal("29.36"), False),
        # A third off 40.00 is 26.666..., so 26.67; 26.67 - 0.5334 - 2.00 = 24.1366.
        (Decimal("26.67"), Decimal("24.1366"), False),
    ]


def test_tax_in_a_price_is_not_the_makers() -> None:
    """With 20 % tax included, 36.00 holds 30.00; the card fee is on 36.00: 30.00 - 0.72 - 2.00 = 27.28."""
    ((price, left, covers),) = taken(TAXED, Discounts.model_validate({"percents": [10], "bundles": []}))
    assert (price, round(left, 10), covers) == (Decimal("36.00"), Decimal("27.28"), False)


def test_a_price_at_the_floor_still_covers() -> None:
    """The floor price itself pays for the piece; a penny under it does not."""
    # 35.61 less 10 % is 32.049, rounded to 32.05; 35.60 less 10 % is 32.04.
    ten = Discounts.model_validate({"percents": [10], "bundles": []})
    assert [covers for _, _, covers in taken(STALL, ten, "35.61")] == [True]
    assert [covers for _, _, covers in taken(STALL, ten, "35.60")] == [False]


@pytest.mark.parametrize(
    ("price", "floor", "percent"),
    [("40.00", "32.05", 19), ("40.00", "32.00", 20), ("40.00", "40.00", 0), ("40.00", "40.01", -1), ("0", "5.00", 0)],
)
def test_room_is_told_in_whole_percent_downwards(price: str, floor: str, percent: int) -> None:
    """A price may go down by whole percent that never lead under the floor: 32.05 of 40.00 leaves room for 19 %."""
    assert most_percent_off(Decimal(price), Decimal(floor)) == percent


def test_the_maker_names_the_discounts() -> None:
    """Percents come first, then bundles: 12.5 % off is 87.5 for 100, four for three is 3 for 4."""
    record = Discounts.model_validate({"percents": ["12.5"], "bundles": [{"take": 4, "pay": 3}]})
    assert read_discounts(record) == (
        Discount(Decimal("87.5"), Decimal(100), Decimal("12.5")),
        Discount(Decimal(3), Decimal(4), None),
    )
