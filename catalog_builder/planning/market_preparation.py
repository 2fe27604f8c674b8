"""A market day to come: what is on its packing list, how heavy it is, and the float. Private."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.priced_day import offers_on
from catalog_builder.records.price_records import PriceRecords
from catalog_builder.records.selling.market_book import Brought
from catalog_builder.records.selling.market_date import Market, coming, priced_day
from catalog_builder.records.variant import Variant


@dataclass(frozen=True, slots=True)
class CarriedVariant:
    """So many of a variant that travel in a box; its name is empty where the list names none."""

    calculation: VariantCalculation
    count: int
    box: str

    @property
    def mass_g(self) -> float:
        """What they weigh in g with their hardware, wrapping left out."""
        return self.count * self.calculation.offer.mass_g


@dataclass(frozen=True, slots=True)
class MarketDay:
    """A market and all that is brought to it, in the order of the list, at the prices of the day ``priced``."""

    market: Market
    priced: date
    carried: tuple[CarriedVariant, ...]

    @property
    def count(self) -> int:
        """How many pieces are brought."""
        return sum(line.count for line in self.carried)

    @property
    def mass_g(self) -> float:
        """What they weigh in g."""
        return sum(line.mass_g for line in self.carried)

    @property
    def worth(self) -> Decimal:
        """What they come to at the stall's prices."""
        return sum((line.count * line.calculation.offer.stall_price for line in self.carried), Decimal(0))

    @property
    def float_amount(self) -> Decimal:
        """What the float comes to."""
        return sum((change.amount for change in self.market.change), Decimal(0))

    @property
    def boxes(self) -> dict[str, tuple[CarriedVariant, ...]]:
        """What travels in each box, in the order in which boxes first stand on the list."""
        return {
            box: tuple(line for line in self.carried if line.box == box)
            for box in dict.fromkeys(line.box for line in self.carried)
        }

    @property
    def counts(self) -> dict[str, tuple[VariantCalculation, int]]:
        """Every variant by its code, with how many of it are brought in all boxes together."""
        counts: dict[str, tuple[VariantCalculation, int]] = {}
        for line in self.carried:
            before = counts.get(line.calculation.offer.sku, (line.calculation, 0))[1]
            counts[line.calculation.offer.sku] = (line.calculation, before + line.count)
        return counts


def market_days(
    records: PriceRecords, lists: Mapping[str, Sequence[Brought]], calculations: Sequence[VariantCalculation]
) -> tuple[MarketDay, ...]:
    """Give the markets that are not over, in the order of their dates; one without a list carries nothing.

    What is carried, by the markets' packing ``lists``, has the prices of the market's day.
    """
    by_names = {Variant(each.product.slug, each.size, each.finish, each.choice): each for each in calculations}

    days = []
    for market in coming(records.studio.markets, records.day):
        day, lines = priced_day(market, records.day), lists.get(market.key, ())
        variants = [by_names[line.variant] for line in lines]
        products = frozenset(variant.product.slug for variant in variants)
        offers = offers_on(records, calculations, day, products)
        carried = (
            CarriedVariant(replace(variant, offer=offers[variant.offer.sku]), line.count, line.box)
            for line, variant in zip(lines, variants, strict=True)
        )
        days.append(MarketDay(market, day, tuple(carried)))
    return tuple(days)
