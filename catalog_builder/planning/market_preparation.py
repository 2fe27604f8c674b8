"""A market day to come: what is on its packing list, how heavy it is, and the float. Private."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.records.content import Content
from catalog_builder.records.selling.market_date import Market, coming
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
    """A market and all that is brought to it, in the order of the list."""

    market: Market
    carried: tuple[CarriedVariant, ...]

    @property
    def count(self) -> int:
        """How many pieces are brought."""
        return sum(one.count for one in self.carried)

    @property
    def mass_g(self) -> float:
        """What they weigh in g."""
        return sum(one.mass_g for one in self.carried)

    @property
    def worth(self) -> Decimal:
        """What they come to at the stall's prices."""
        return sum((one.count * one.calculation.offer.stall_price for one in self.carried), Decimal(0))

    @property
    def float_amount(self) -> Decimal:
        """What the float comes to."""
        return sum((one.amount for one in self.market.change), Decimal(0))

    @property
    def boxes(self) -> dict[str, tuple[CarriedVariant, ...]]:
        """What travels in each box, in the order in which boxes first stand on the list."""
        return {
            box: tuple(one for one in self.carried if one.box == box)
            for box in dict.fromkeys(one.box for one in self.carried)
        }

    @property
    def counts(self) -> dict[str, tuple[VariantCalculation, int]]:
        """Every variant by its code, with how many of it are brought in all boxes together."""
        counts: dict[str, tuple[VariantCalculation, int]] = {}
        for one in self.carried:
            before = counts.get(one.calculation.offer.sku, (one.calculation, 0))[1]
            counts[one.calculation.offer.sku] = (one.calculation, before + one.count)
        return counts


def market_days(content: Content, calculations: Sequence[VariantCalculation]) -> tuple[MarketDay, ...]:
    """Give the markets that are not over, in the order of their dates; one without a list carries nothing."""
    variants = {Variant(one.product.slug, one.size, one.finish, one.choice): one for one in calculations}
    return tuple(
        MarketDay(
            market,
            tuple(
                CarriedVariant(variants[one.variant], one.count, one.box)
                for one in content.market_book.lists.get(market.key, ())
            ),
        )
        for market in coming(content.studio.markets, content.day)
    )
