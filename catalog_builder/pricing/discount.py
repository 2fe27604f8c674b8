"""What is left of a price when a buyer is given a discount at the stall. Private: it is held against the floor price.

A discount lets a buyer take ``take`` for the price of ``pay``: 5 % off is 95 for 100, three for two is 2 for 3. The
price of one is rounded to the currency's digits, half up. Each piece is calculated as a sale of its own, with all of
the channel's fixed fees: where several go in one sale, a little more is left than is said here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal

from catalog_builder.pricing.cost import Cost
from catalog_builder.pricing.policy import printed_price, read_earning
from catalog_builder.records.selling.channel import Channel
from catalog_builder.records.selling.discounts import Discounts
from catalog_builder.units import rounded


@dataclass(frozen=True, slots=True)
class Discount:
    """``pay`` is paid for ``take``; ``percent`` is what is written for it, or None for a bundle of pieces."""

    pay: Decimal
    take: Decimal
    percent: Decimal | None


@dataclass(frozen=True, slots=True)
class Reduced:
    """A price less a discount: for one piece, what it leaves after fees, and whether it is the floor price or over."""

    discount: Discount
    price: Decimal
    left_after_fees: Decimal
    covers: bool


def read_discounts(record: Discounts) -> tuple[Discount, ...]:
    """Give the studio's discounts: percents first, then bundles."""
    percents = (Discount(100 - percent, Decimal(100), percent) for percent in record.percents)
    bundles = (Discount(Decimal(bundle.pay), Decimal(bundle.take), None) for bundle in record.bundles)
    return (*percents, *bundles)


def reduced_prices(
    channel: Channel, printed: Decimal, cost: Cost, discounts: tuple[Discount, ...], digits: int
) -> Iterator[Reduced]:
    """Take each discount off a printed price. ``digits`` are the currency's."""
    for discount in discounts:
        price = rounded(printed * discount.pay / discount.take, digits)
        # The hourly rate plays no part in what is left and in the floor price.
        earning = read_earning(channel, printed_price(channel, price, digits), cost, Decimal(0), digits)
        yield Reduced(discount, price, earning.left_after_fees, price >= earning.floor)


def most_percent_off(printed: Decimal, floor: Decimal) -> Decimal:
    """Give the largest whole percentage that a printed price can be lowered by without going under the floor price.

    It is below zero where the price is under the floor price already.
    """
    if not printed:
        return Decimal(0)
    return ((printed - floor) / printed * 100).to_integral_value(rounding=ROUND_FLOOR)
