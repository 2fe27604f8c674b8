"""Consistency: prices that contradict each other or the studio's own terms, each as a finding."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import combinations

from catalog_builder.mistake import Finding, Place
from catalog_builder.phrase import Money, Value
from catalog_builder.pricing.policy import Earning, Price
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Studio

# Two choices that cost the same within the first share should not be priced farther apart than the second: common
# practice, no source.
SAME_COST = Decimal("0.02")
APART = Decimal("0.08")
# The code of the finding that a build goes by prices which newer ones follow.
OLD_PRICES = "C07"


@dataclass(frozen=True, slots=True)
class ComparedVariant:
    """A variant's cost, its prices and earnings by channel, and its width in mm."""

    product: Product
    size: str
    finish: str
    choice: str
    width_mm: float
    cost: Decimal
    prices: Mapping[str, Price]
    earnings: Mapping[str, Earning]


def price_findings(studio: Studio, variants: Sequence[ComparedVariant]) -> tuple[Finding, ...]:
    """Compare prices within a product and between channels. A rule gives one finding a product and channel."""
    findings: dict[tuple[str, str, str], Finding] = {}
    for variant, channel, finding in _all_findings(studio, variants):
        findings.setdefault((finding.code, variant.product.slug, channel), finding)
    return tuple(findings[key] for key in sorted(findings))


def day_findings(materials: Materials, day: date) -> Iterator[Finding]:
    """Find that materials have newer prices than those of the day: the hourly rate, fees and overheads have no day."""
    newer = sum(prices[-1].day > day for prices in materials.prices.values())
    if newer:
        yield Finding.of(
            OLD_PRICES, Place(path="content/material_prices.csv"), "findings_pricing.old_prices", count=newer, day=day
        )


_Findings = Iterator[tuple[ComparedVariant, str, Finding]]


def _all_findings(studio: Studio, variants: Sequence[ComparedVariant]) -> _Findings:
    online, stall = studio.channel_on("catalogue"), studio.channel_on("stall")
    for variant in variants:
        for name in studio.channels:
            yield from _losses(studio, variant, name)
        if variant.prices[stall].paid < variant.prices[online].paid:
            yield variant, stall, _finding("C03", variant, "stall_below_online")
    for small, large in _pairs(variants, lambda each: (each.product.slug, each.finish, each.choice), _width):
        if small.prices[online].printed > large.prices[online].printed:
            yield small, online, _finding("C04", small, "small_above_large", small=small.size, large=large.size)
    for cheap, dear in _pairs(variants, lambda each: (each.product.slug, each.size, each.choice), _cost):
        if cheap.cost < dear.cost and cheap.prices[online].printed > dear.prices[online].printed:
            finishes = {"dear": dear.finish, "cheap": cheap.finish}
            yield dear, online, _finding("C05", dear, "dear_below_cheap", **finishes)
    for cheap, dear in _pairs(variants, lambda each: (each.product.slug, each.size, each.finish), _cost):
        low, high = sorted((cheap.prices[online].printed, dear.prices[online].printed))
        if dear.cost <= cheap.cost * (1 + SAME_COST) and high > low * (1 + APART):
            prices = {"low": Money(low), "high": Money(high)}
            choices = {"first": cheap.choice, "second": dear.choice}
            yield cheap, online, _finding("C06", cheap, "choices_apart", **choices, **prices)


def _losses(studio: Studio, variant: ComparedVariant, name: str) -> _Findings:
    """Find a price under the floor price, and one that pays less for an hour than the studio's rate."""
    title, earning = studio.channels[name].title, variant.earnings[name]
    if earning.profit < 0:
        yield variant, name, _finding("C01", variant, "under_floor", channel=title, floor=Money(earning.floor))
    elif earning.an_hour < studio.bench.hourly_rate:
        yield variant, name, _finding("C02", variant, "under_rate", channel=title)


def _pairs(
    variants: Sequence[ComparedVariant],
    family: Callable[[ComparedVariant], tuple[str, ...]],
    order: Callable[[ComparedVariant], Decimal | float],
) -> Iterator[tuple[ComparedVariant, ComparedVariant]]:
    """Pair the members of each family, the first in order first."""
    families: dict[tuple[str, ...], list[ComparedVariant]] = {}
    for variant in variants:
        families.setdefault(family(variant), []).append(variant)
    for members in families.values():
        yield from combinations(sorted(members, key=order), 2)


def _cost(variant: ComparedVariant) -> Decimal:
    return variant.cost


def _width(variant: ComparedVariant) -> float:
    return variant.width_mm


def _finding(code: str, variant: ComparedVariant, key: str, **values: Value) -> Finding:
    return Finding.of(
        code, variant.product.source.place(), f"findings_pricing.{key}", title=variant.product.keys.title, **values
    )
