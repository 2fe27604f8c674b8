"""What a variant cost and sold for on earlier days. Private.

The cost of an earlier day is today's quantities and minutes at the material prices of that day.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from catalog_builder.making.quantities import read_uses
from catalog_builder.mistake import MistakeError
from catalog_builder.pricing.book import Terms, channel_prices
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.cost import Cost, read_cost
from catalog_builder.pricing.policy import read_prices
from catalog_builder.records.content import Content
from catalog_builder.units import minor_digits


@dataclass(frozen=True, slots=True)
class PastPrice:
    """A variant on a day: its cost, and its price in each channel.

    ``booked`` are the channels whose price the price book gives; ``written`` those whose row is of that very day.
    """

    day: date
    cost: Decimal
    prices: Mapping[str, Decimal]
    booked: frozenset[str]
    written: frozenset[str]


def days(content: Content) -> tuple[date, ...]:
    """Give every day on which a material's price or a price of the book came into force, and the build's own."""
    found = {price.day for prices in content.materials.prices.values() for price in prices}
    found |= {row.date for row in content.book.rows} | {content.day}
    return tuple(sorted(day for day in found if day <= content.day))


def days_of(content: Content, one: VariantCalculation) -> tuple[date, ...]:
    """Give those of the days on which something of one variant's may have changed."""
    found = {price.day for name in used(one) for price in content.materials.prices[name]}
    found |= {row.date for channel in content.studio.channels for row in content.book.history(one.offer.sku, channel)}
    return tuple(sorted(day for day in found if day <= content.day))


def moves(pasts: Sequence[PastPrice]) -> list[PastPrice]:
    """Leave out the days on which nothing of a variant changed."""
    found: list[PastPrice] = []
    for past in pasts:
        if not found or past.written or replace(past, day=found[-1].day, written=found[-1].written) != found[-1]:
            found.append(past)
    return found


def used(one: VariantCalculation) -> list[str]:
    """Give the names of the materials of a variant."""
    return sorted({line.key for line in one.cost.lines if line.group not in ("labour", "overhead")})


def begin_of(content: Content, one: VariantCalculation) -> date:
    """Give the first day on which all materials of a variant had a price."""
    return max(content.materials.prices[name][0].day for name in used(one))


def history(content: Content, one: VariantCalculation, when: Sequence[date] | None = None) -> tuple[PastPrice, ...]:
    """Follow a variant through days, all of them or some, from the first on which all its materials had a price."""
    uses = read_uses(
        content,
        one.product,
        content.studio.finishes[one.finish],
        one.product.keys.glass[one.choice],
        one.made,
        one.suspension,
    )
    if one.glass is not None and one.glass.share.adopted:
        uses = one.glass.share.charge(uses, one.made, one.product.keys.glass[one.choice])
    pasts = []
    for day in days(content) if when is None else when:
        then = replace(content, day=day)
        try:
            cost = read_cost(then, uses, one.times)
        except MistakeError:
            # A material had no price yet.
            continue
        pasts.append(_past(then, one, cost))
    return tuple(pasts)


def _past(then: Content, one: VariantCalculation, cost: Cost) -> PastPrice:
    """Price a cost as a build of that day would."""
    channels, digits = then.studio.channels, minor_digits(then.studio.studio.currency)
    policy = read_prices(channels, cost.total, digits)
    terms = Terms(then.day, digits, False, then.studio.book.keep_within_percent)
    found = channel_prices(then.book, one.offer.sku, channels, policy, terms)
    entries = {name: standing.entry for name, standing in found.items() if standing.entry is not None}
    return PastPrice(
        then.day,
        cost.total,
        {name: standing.published.printed for name, standing in found.items()},
        frozenset(entries),
        frozenset(name for name, entry in entries.items() if entry.date == then.day),
    )
