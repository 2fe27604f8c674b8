"""What a variant cost and sold for on earlier days. Private.

The cost of an earlier day is today's quantities and minutes at the material prices of that day.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from math import isnan

from catalog_builder.pricing.book import ChannelPrice
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.priced_day import standings_on
from catalog_builder.records.materials import Materials
from catalog_builder.records.price_records import PriceRecords


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


def days(records: PriceRecords) -> tuple[date, ...]:
    """Give every day on which a material's price or a price of the book came into force, and the build's own."""
    changes = {price.day for prices in records.materials.prices.values() for price in prices}
    changes |= {row.date for row in records.book.rows} | {records.day}
    return tuple(sorted(day for day in changes if day <= records.day))


def days_of(records: PriceRecords, kin: Sequence[VariantCalculation]) -> tuple[date, ...]:
    """Give the days on which a price of a variant, of those that share it or of their materials may have changed."""
    changes = {price.day for variant in kin for name in used(variant) for price in records.materials.prices[name]}
    for variant in kin:
        for channel in records.studio.channels:
            changes |= {row.date for row in records.book.history(variant.offer.sku, channel)}
    return tuple(sorted(day for day in changes if day <= records.day))


def moves(pasts: Sequence[PastPrice]) -> list[PastPrice]:
    """Leave out the days on which nothing of a variant changed."""
    changed: list[PastPrice] = []
    for past in pasts:
        if (
            not changed
            or past.written
            or replace(past, day=changed[-1].day, written=changed[-1].written) != changed[-1]
        ):
            changed.append(past)
    return changed


def used(variant: VariantCalculation) -> list[str]:
    """Give the names of the materials of a variant."""
    return sorted({line.key for line in variant.cost.lines if line.group not in ("labour", "overhead")})


def begin_of(materials: Materials, variant: VariantCalculation) -> date:
    """Give the first day on which all materials of a variant had a price."""
    return max(materials.prices[name][0].day for name in used(variant))


def kin_of(calculations: Sequence[VariantCalculation], variant: VariantCalculation) -> tuple[VariantCalculation, ...]:
    """Give a variant, and after it those whose costs may have a part in its price: of its size, where any share one.

    ``calculations`` are those of its product, at least.
    """
    if all(standing.shared_by == 1 for standing in variant.standings.values()):
        return (variant,)
    sized = (each for each in calculations if (each.product.slug, each.size) == (variant.product.slug, variant.size))
    return (variant, *(each for each in sized if each.offer.sku != variant.offer.sku))


def history(
    records: PriceRecords, kin: Sequence[VariantCalculation], when: Sequence[date] | None = None
) -> tuple[PastPrice, ...]:
    """Follow the first of ``kin`` through days, all or some, from the first on which all its materials had a price."""
    first, when = kin[0].offer.sku, days(records) if when is None else when
    costs = {variant.offer.sku: _costs(records.materials, variant, when) for variant in kin}
    pasts = []
    for day in costs[first]:
        of_day = {sku: by_day[day] for sku, by_day in costs.items() if day in by_day}
        standings = standings_on(records.studio, records.book, kin, of_day, day)
        pasts.append(_past(day, of_day[first], standings[first]))
    return tuple(pasts)


def _costs(materials: Materials, variant: VariantCalculation, when: Sequence[date]) -> dict[date, Decimal]:
    """Give a variant's cost on each of some days on which all its materials had a price."""
    prices = unit_prices(materials, used(variant), when)
    # Minutes are paid at today's rates on all days.
    return {day: variant.cost.at(of_day) for day, of_day in prices.items()}


def unit_prices(materials: Materials, names: Sequence[str], when: Sequence[date]) -> dict[date, dict[str, Decimal]]:
    """Give the price of a unit of some materials by days; days on which one of them has none are left out."""
    if not _TABLES or _TABLES[0].materials is not materials:
        _TABLES[:] = [_UnitPrices.of(materials)]
    by_day = {day: _TABLES[0].on(day, names) for day in when}
    return {day: prices for day, prices in by_day.items() if not any(map(isnan, prices.values()))}


@dataclass(frozen=True, slots=True)
class _UnitPrices:
    """The price of a unit of every material on each day on which one changed; NaN where it has none yet."""

    materials: Materials
    days: Sequence[date]
    prices: Mapping[str, Sequence[Decimal]]

    @classmethod
    def of(cls, materials: Materials) -> _UnitPrices:
        import pandas as pd

        changes = pd.DataFrame(
            {
                name: {each.day: each.price / materials.rows[name].pack_amount for each in prices}
                for name, prices in materials.prices.items()
                if prices
            },
            dtype=object,
        )
        in_force = changes.sort_index().ffill()
        return cls(
            materials,
            list(in_force.index),
            {name: list(in_force[name]) for name in materials.prices if name in in_force},
        )

    def on(self, day: date, names: Sequence[str]) -> dict[str, Decimal]:
        """Give what was in force on a day: a price is, until the next one."""
        row = bisect_right(self.days, day) - 1
        return {name: self.prices[name][row] if row >= 0 else Decimal("NaN") for name in names}


# The prices of all materials, made once for the histories of a thousand designs.
_TABLES: list[_UnitPrices] = []


def _past(day: date, cost: Decimal, standings: Mapping[str, ChannelPrice]) -> PastPrice:
    """Give a cost and its prices as a build of that day would."""
    entries = {name: standing.entry for name, standing in standings.items() if standing.entry is not None}
    return PastPrice(
        day,
        cost,
        {name: standing.published.printed for name, standing in standings.items()},
        frozenset(entries),
        frozenset(name for name, entry in entries.items() if entry.date == day),
    )
