"""What the market's price of each design would pay for an hour at the bench, the best paid first. Private."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.suppositions.given_price import GivenPrice
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.units import minor_digits, rounded


@dataclass(frozen=True, slots=True, kw_only=True)
class PaidDesign:
    """A design at the market's price, in words; ``allowed`` are the minutes that it pays for."""

    place: str
    title: str
    href: str
    variant: str
    market: str
    own: str
    left: str
    minutes: str
    allowed: str
    hour: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MarketPay:
    """Designs whose records name the market's price; ``under`` are those that earn less an hour than the rate."""

    over: tuple[PaidDesign, ...]
    under: tuple[PaidDesign, ...]


def market_pay(calculations: Sequence[VariantCalculation], writer: BenchWriter) -> MarketPay:
    """Rank designs by what an hour earns at the market's price at the stall, in the first variant of their record."""
    studio, wording = writer.studio, writer.wording
    digits, stall = minor_digits(studio.studio.currency), studio.channel_on("stall")
    ranked = []
    for _, variants in groupby(calculations, lambda variant: variant.product.slug):
        variant = next(variants)
        price = variant.product.keys.market_price
        if price is not None:
            given = GivenPrice(studio.channels[stall], rounded(price, digits), studio.bench, digits)
            left = given.leaves(variant.cost)
            # What reads alike ranks alike.
            hour = rounded(left.earning.an_hour, digits)
            ranked.append((-hour, variant.product.keys.title.casefold(), variant.offer.sku, variant, given, left))
    lines = [
        PaidDesign(
            place=writer.phrasing.show(place),
            title=variant.product.keys.title,
            href=f"cards/{variant.offer.sku}.html",
            variant=variant.offer.words,
            market=wording.money(given.printed),
            own=wording.money(variant.prices[stall].printed),
            left=wording.money(left.earning.left_after_fees),
            minutes=wording.number(rounded(variant.cost.minutes, 1), 1),
            allowed=wording.number(rounded(left.minutes, 1), 1),
            hour=wording.money(left.earning.an_hour),
        )
        for place, (*_, variant, given, left) in enumerate(sorted(ranked, key=lambda row: row[:3]), 1)
    ]
    over = sum(-row[0] >= rounded(studio.bench.hourly_rate, digits) for row in ranked)
    return MarketPay(over=tuple(lines[:over]), under=tuple(lines[over:]))
