"""What markets brought in: takings, what is left of them, and what an hour earned. Private.

What sold is compared with today's costs, as the cost of the day on which it was made is not kept.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from catalog_builder.mistake import Finding, Place
from catalog_builder.phrase import phrase
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.policy import printed_price
from catalog_builder.records.selling.channel import Channel
from catalog_builder.records.selling.market_book import MarketBook
from catalog_builder.records.selling.market_date import Market
from catalog_builder.records.studio import Studio
from catalog_builder.records.variant import Variant
from catalog_builder.units import minor_digits


@dataclass(frozen=True, slots=True)
class MarketTakings:
    """A market's outcome. ``spent`` is the cost of what was sold, labour left out."""

    market: Market
    brought: int
    sold: int
    takings: Decimal
    tax: Decimal
    fees: Decimal
    pitch: Decimal
    spent: Decimal
    bench_minutes: Decimal

    @property
    def left(self) -> Decimal:
        """What is left of the takings after tax, fees and the pitch."""
        return self.takings - self.tax - self.fees - self.pitch

    @property
    def bench_hour(self) -> Decimal | None:
        """What an hour at the bench earned: what is left, less materials and overheads, over the minutes."""
        return self._an_hour(Decimal(0))

    @property
    def whole_hour(self) -> Decimal | None:
        """The same over the hours at the stall as well, where the record gives them."""
        return None if self.market.stall_hours is None else self._an_hour(self.market.stall_hours)

    def _an_hour(self, more: Decimal) -> Decimal | None:
        hours = self.bench_minutes / 60 + more
        return (self.left - self.spent) / hours if hours else None


@dataclass(frozen=True, slots=True)
class VariantSold:
    """A variant at all markets that have sales: how many were brought and sold, and for how much."""

    calculation: VariantCalculation
    brought: int
    sold: int
    takings: Decimal

    @property
    def share(self) -> Decimal:
        """The share of what was brought that sold; more than were listed cannot have been brought."""
        return Decimal(self.sold) / max(self.brought, self.sold, 1)


@dataclass(frozen=True, slots=True)
class Takings:
    """All markets with sales, by date, and every variant that was brought or sold, the best sold first."""

    markets: tuple[MarketTakings, ...]
    variants: tuple[VariantSold, ...]


def takings_of(studio: Studio, book: MarketBook, calculations: Sequence[VariantCalculation]) -> Takings:
    """Add up what sold, by the stall channel's own rules: each piece is a sale, and bears its fees."""
    with_sales = {sale.market for sale in book.sold_at_markets}
    if not with_sales:
        return Takings((), ())
    stall, digits = studio.channels[studio.channel_on("stall")], minor_digits(studio.studio.currency)
    by_names = {Variant(each.product.slug, each.size, each.finish, each.choice): each for each in calculations}
    by_market: dict[str, list[_Count]] = defaultdict(list)
    by_variant: dict[Variant, list[_Count]] = defaultdict(list)
    for count in _counts(book):
        if count.market in with_sales:
            by_market[count.market].append(count)
            by_variant[count.variant].append(count)

    def of_market(market: Market) -> MarketTakings:
        counts = by_market[market.key]
        paid = [(count.sold, printed_price(stall, count.price, digits)) for count in counts]
        costs = [(count.sold, by_names[count.variant].cost) for count in counts]
        return MarketTakings(
            market=market,
            brought=sum(count.brought for count in counts),
            sold=sum(count.sold for count in counts),
            takings=_sum(sold * price.paid for sold, price in paid),
            tax=_sum(sold * (price.paid - price.before_tax) for sold, price in paid),
            fees=_sum(sold * (price.paid * stall.fee_percent / 100 + stall.fee_each) for sold, price in paid),
            pitch=_pitch(market, stall),
            spent=_sum(sold * (cost.total - cost.of("labour")) for sold, cost in costs),
            bench_minutes=_sum(sold * cost.minutes for sold, cost in costs),
        )

    markets = sorted((market for market in studio.markets if market.key in with_sales), key=_by_date)
    variants = (
        VariantSold(
            by_names[variant],
            sum(count.brought for count in counts),
            sum(count.sold for count in counts),
            _sum(count.sold * count.price for count in counts),
        )
        for variant, counts in by_variant.items()
    )
    return Takings(tuple(of_market(market) for market in markets), tuple(sorted(variants, key=_best_sold_first)))


@dataclass(frozen=True, slots=True)
class _Count:
    """A line of a market's packing list, or of its sales."""

    market: str
    variant: Variant
    brought: int
    sold: int
    price: Decimal


def _counts(book: MarketBook) -> Iterator[_Count]:
    for market, lines in book.lists.items():
        for line in lines:
            yield _Count(market, line.variant, line.count, 0, Decimal(0))
    for sale in book.sold_at_markets:
        yield _Count(sale.market, sale.variant, 0, sale.count, sale.price)


def _sum(amounts: Iterable[Decimal]) -> Decimal:
    return sum(amounts, Decimal(0))


def _pitch(market: Market, stall: Channel) -> Decimal:
    return stall.day_fee * market.days if market.pitch_fee is None else market.pitch_fee


def _by_date(market: Market) -> tuple[date, str]:
    return market.date, market.name


def _best_sold_first(variant: VariantSold) -> tuple[Decimal, int, str, str]:
    calculation = variant.calculation
    return -variant.share, -variant.sold, calculation.product.keys.title, calculation.offer.sku


def market_findings(markets: Sequence[Market], book: MarketBook) -> Iterator[Finding]:
    """Find sales that the packing lists have no pieces for."""
    if not book.sold_at_markets:
        return
    brought, sold = defaultdict[tuple[str, Variant], int](int), defaultdict[tuple[str, Variant], int](int)
    for count in _counts(book):
        brought[count.market, count.variant] += count.brought
        sold[count.market, count.variant] += count.sold
    order = {market.key: place for place, market in enumerate(markets) if market.key in book.lists}
    unlisted = [each for each in sold if each[0] in order and sold[each] > brought[each]]
    for market, variant in sorted(unlisted, key=lambda each: order[each[0]]):
        yield Finding(
            code="M01",
            place=Place(path="content/sales.csv"),
            text=phrase(
                "findings_pricing.sold_not_brought",
                market=market,
                variant=" ".join(word for word in _names(variant) if word),
                sold=sold[market, variant],
                brought=brought[market, variant],
            ),
            advice=phrase("findings_pricing.sold_not_brought_advice", market=market),
        )


def _names(variant: Variant) -> tuple[str, str, str, str]:
    return variant.product, variant.size, variant.finish, variant.choice
