"""What markets brought in: takings, what is left of them, and what an hour earned. Private.

What sold is set against today's costs, as what it cost on the day it was made is not kept.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.mistake import Finding, Place
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.policy import printed_price
from catalog_builder.records.content import Content
from catalog_builder.records.selling.channel import Channel
from catalog_builder.records.selling.market_book import Sale
from catalog_builder.records.selling.market_date import Market
from catalog_builder.records.variant import Variant
from catalog_builder.units import minor_digits


@dataclass(frozen=True, slots=True)
class MarketTakings:
    """A market's outcome. ``left`` is takings less tax, fees and pitch; ``spent`` all that was sold cost but labour."""

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


def take(content: Content, calculations: Sequence[VariantCalculation]) -> Takings:
    """Add up what sold."""
    variants = {Variant(one.product.slug, one.size, one.finish, one.choice): one for one in calculations}
    sales: dict[str, list[Sale]] = {}
    for sale in content.market_book.sales:
        sales.setdefault(sale.market, []).append(sale)
    markets = sorted((one for one in content.studio.markets if one.key in sales), key=lambda one: (one.date, one.name))
    stall = content.studio.channels[content.studio.channel_on("stall")]
    digits = minor_digits(content.studio.studio.currency)
    brought: dict[Variant, int] = {}
    sold: dict[Variant, tuple[int, Decimal]] = {}
    for market in markets:
        for line in content.market_book.lists.get(market.key, ()):
            brought[line.variant] = brought.get(line.variant, 0) + line.count
        for sale in sales[market.key]:
            count, amount = sold.get(sale.variant, (0, Decimal(0)))
            sold[sale.variant] = count + sale.count, amount + sale.count * sale.price
    listed = {market.key: sum(one.count for one in content.market_book.lists.get(market.key, ())) for market in markets}
    return Takings(
        tuple(_of_market(one, listed[one.key], sales[one.key], variants, (stall, digits)) for one in markets),
        tuple(
            sorted(
                (
                    VariantSold(variants[one], brought.get(one, 0), *sold.get(one, (0, Decimal(0))))
                    for one in {**brought, **sold}
                ),
                key=lambda one: (-one.share, -one.sold, one.calculation.product.keys.title, one.calculation.offer.sku),
            )
        ),
    )


def _of_market(
    market: Market,
    listed: int,
    sales: Sequence[Sale],
    variants: dict[Variant, VariantCalculation],
    stall: tuple[Channel, int],
) -> MarketTakings:
    """Reckon a market by the stall channel's own rules: each piece is a sale, and bears its fees."""
    channel, digits = stall
    takings = tax = fees = spent = minutes = Decimal(0)
    for sale in sales:
        price = printed_price(channel, sale.price, digits)
        cost = variants[sale.variant].cost
        takings += sale.count * price.paid
        tax += sale.count * (price.paid - price.before_tax)
        fees += sale.count * (price.paid * channel.fee_percent / 100 + channel.fee_each)
        labour = sum((line.amount for line in cost.lines if line.group == "labour"), Decimal(0))
        spent += sale.count * (cost.total - labour)
        minutes += sale.count * cost.minutes
    pitch = channel.day_fee * market.days if market.pitch_fee is None else market.pitch_fee
    sold = sum(sale.count for sale in sales)
    return MarketTakings(market, listed, sold, takings, tax, fees, pitch, spent, minutes)


def market_findings(content: Content) -> list[Finding]:
    """Tell sales that the packing lists have no pieces for."""
    findings = []
    book = content.market_book
    for market in content.studio.markets:
        if market.key not in book.lists:
            continue
        brought: dict[Variant, int] = {}
        for line in book.lists[market.key]:
            brought[line.variant] = brought.get(line.variant, 0) + line.count
        sold: dict[Variant, int] = {}
        for sale in book.sales:
            if sale.market == market.key:
                sold[sale.variant] = sold.get(sale.variant, 0) + sale.count
        for variant, count in sold.items():
            if count > brought.get(variant, 0):
                words = " ".join(
                    word for word in (variant.product, variant.size, variant.finish, variant.choice) if word
                )
                findings.append(
                    Finding(
                        code="M01",
                        place=Place(path="content/sales.csv"),
                        text=f"{market.key}: {count} of {words} sold, but {brought.get(variant, 0)} stand on its list",
                        advice=f"correct the sale, or content/markets/{market.key}.csv",
                    )
                )
    return findings
