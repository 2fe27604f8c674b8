"""What markets brought in: takings, what is left of them, and what an hour earned. Private.

What sold is compared with today's costs, as the cost of the day on which it was made is not kept.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from catalog_builder.mistake import Finding, Place
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.policy import printed_price
from catalog_builder.records.selling.channel import Channel
from catalog_builder.records.selling.market_book import MarketBook
from catalog_builder.records.selling.market_date import Market
from catalog_builder.records.studio import Studio
from catalog_builder.records.variant import Variant
from catalog_builder.units import minor_digits

if TYPE_CHECKING:
    import pandas as pd


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
    """Add up what sold, by the stall channel's own rules: each piece is a sale and pays its fees."""
    with_sales = {sale.market for sale in book.sold_at_markets}
    if not with_sales:
        return Takings((), ())
    stall, digits = studio.channels[studio.channel_on("stall")], minor_digits(studio.studio.currency)
    by_names = {Variant(each.product.slug, each.size, each.finish, each.choice): each for each in calculations}
    by_sku = {each.offer.sku: each for each in calculations}
    counts = _counts(book, lambda variant: by_names[variant].offer.sku)
    counts = counts[counts["market"].isin(list(with_sales))]
    sold, price = counts["sold"], counts["price"].map(lambda price: printed_price(stall, price, digits))
    cost = counts["variant"].map(lambda sku: by_sku[sku].cost)
    amounts = counts.assign(
        asked=sold * counts["price"],
        takings=sold * price.map(lambda price: price.paid),
        tax=sold * price.map(lambda price: price.paid - price.before_tax),
        fees=sold * price.map(lambda price: price.paid * stall.fee_percent / 100 + stall.fee_each),
        spent=sold * cost.map(lambda cost: cost.total - cost.of("labour")),
        bench_minutes=sold * cost.map(lambda cost: cost.minutes),
    )
    sums = ["brought", "sold", "takings", "tax", "fees", "spent", "bench_minutes"]
    of_markets = {
        market: dict(zip(sums, counted, strict=True))
        for market, *counted in amounts.groupby("market")[sums].sum().itertuples(name=None)
    }
    of_variants = amounts.groupby("variant")[["brought", "sold", "asked"]].sum()
    markets = sorted((market for market in studio.markets if market.key in with_sales), key=_by_date)
    variants = (VariantSold(by_sku[sku], *counted) for sku, *counted in of_variants.itertuples(name=None))
    return Takings(
        tuple(
            MarketTakings(market=market, pitch=_pitch(market, stall), **of_markets[market.key]) for market in markets
        ),
        tuple(sorted(variants, key=_best_sold_first)),
    )


def _counts(book: MarketBook, name_of: Callable[[Variant], str]) -> pd.DataFrame:
    """Give a row for each line of the packing lists and of the sales, money as Decimal."""
    import pandas as pd

    rows = [(market, name_of(variant), *figures) for market, variant, *figures in _listed_and_sold(book)]
    return pd.DataFrame(rows, columns=["market", "variant", "brought", "sold", "price"])


def _listed_and_sold(book: MarketBook) -> Iterator[tuple[str, Variant, int, int, Decimal]]:
    """Give market, variant, how many were brought and sold, and for how much: of the lists, then of the sales."""
    for market, lines in book.lists.items():
        yield from ((market, line.variant, line.count, 0, Decimal(0)) for line in lines)
    yield from ((sale.market, sale.variant, 0, sale.count, sale.price) for sale in book.sold_at_markets)


def _pitch(market: Market, stall: Channel) -> Decimal:
    return stall.day_fee * market.days if market.pitch_fee is None else market.pitch_fee


def _by_date(market: Market) -> tuple[date, str]:
    return market.date, market.name


def _best_sold_first(variant: VariantSold) -> tuple[Decimal, int, str, str]:
    calculation = variant.calculation
    return -variant.share, -variant.sold, calculation.product.keys.title, calculation.offer.sku


def market_findings(markets: Sequence[Market], book: MarketBook) -> Iterator[Finding]:
    """Find sales that the packing lists have no pieces for."""
    brought, sold = defaultdict[str, Counter[Variant]](Counter), defaultdict[str, Counter[Variant]](Counter)
    for market, variant, more_brought, more_sold, _ in _listed_and_sold(book):
        brought[market][variant] += more_brought
        sold[market][variant] += more_sold
    for market in (market.key for market in markets if market.key in book.lists):
        for variant, count in sold[market].items():
            if count > brought[market][variant]:
                yield Finding.of(
                    "M01",
                    Place(path="content/sales.csv"),
                    "findings_pricing.sold_not_brought",
                    market=market,
                    variant=" ".join(word for word in _names(variant) if word),
                    sold=count,
                    brought=brought[market][variant],
                )


def _names(variant: Variant) -> tuple[str, str, str, str]:
    return variant.product, variant.size, variant.finish, variant.choice
