"""Consistency: prices that contradict each other or the studio's own terms, each told as a finding."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import combinations

from catalog_builder.mistake import Finding
from catalog_builder.pricing.policy import Earning, Price
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Studio

# Two choices that cost the same within this share ought not to be priced farther apart than the other.
SAME_COST = Decimal("0.02")
APART = Decimal("0.08")


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


Told = dict[tuple[str, str, str], Finding]


def price_findings(studio: Studio, variants: Sequence[ComparedVariant]) -> tuple[Finding, ...]:
    """Compare prices within a product and between channels. Findings of one rule are told once a product."""
    findings: Told = {}
    online, stall = studio.channel_on("catalogue"), studio.channel_on("stall")
    for one in variants:
        for name in studio.channels:
            _tell_loss(findings, studio, one, name)
        if one.prices[stall].paid < one.prices[online].paid:
            text = "it costs less at the stall than on the studio's own site"
            _tell(findings, "C03", one, stall, text, "bring the two channels into step, or be ready to say why")
    _tell_steps(findings, variants, online)
    return tuple(findings[key] for key in sorted(findings))


def _tell_loss(findings: Told, studio: Studio, one: ComparedVariant, name: str) -> None:
    """Tell a price under the floor, one that loses money all the same, and one that pays under the rate."""
    title, earning = studio.channels[name].title, one.earnings[name]
    if earning.profit < 0:
        text = f"the price in {title!r} does not cover the cost: it is under the floor price of {earning.floor}"
        _tell(findings, "C01", one, name, text, "raise it: the channel's markup or margin, or the price in the book")
    elif earning.an_hour < studio.bench.hourly_rate:
        text = f"the price in {title!r} pays under the studio's rate for an hour"
        _tell(findings, "C02", one, name, text, "raise the price, or make the piece in less time")


def _tell_steps(findings: Told, variants: Sequence[ComparedVariant], online: str) -> None:
    """Tell sizes, finishes and choices of glass whose prices stand the wrong way round or apart."""
    for one, other in _sizes(variants):
        if one.prices[online].printed > other.prices[online].printed:
            text = f"{one.size} costs more than {other.size}, which is larger"
            _tell(findings, "C04", one, online, text, "look at the two cost cards")
    for one, other in _alike(variants, lambda one: (one.product.slug, one.size, one.choice)):
        if one.cost < other.cost and one.prices[online].printed > other.prices[online].printed:
            text = f"{other.finish} costs more to make than {one.finish}, and is sold for less"
            _tell(findings, "C05", other, online, text, "look at the two cost cards and the price book")
    for one, other in _alike(variants, lambda one: (one.product.slug, one.size, one.finish)):
        low, high = sorted((one.prices[online].printed, other.prices[online].printed))
        if other.cost <= one.cost * (1 + SAME_COST) and high > low * (1 + APART):
            text = f"{one.choice} and {other.choice} cost nearly the same to make, and are sold for {low} and {high}"
            _tell(findings, "C06", one, online, text, "bring them together, or be ready to say why")


def _alike(
    variants: Sequence[ComparedVariant], family: Callable[[ComparedVariant], tuple[str, ...]]
) -> Iterator[tuple[ComparedVariant, ComparedVariant]]:
    """Pair the members of each family, the one that costs less first."""
    families: dict[tuple[str, ...], list[ComparedVariant]] = {}
    for one in variants:
        families.setdefault(family(one), []).append(one)
    for members in families.values():
        yield from combinations(sorted(members, key=lambda one: one.cost), 2)


def _sizes(variants: Sequence[ComparedVariant]) -> list[tuple[ComparedVariant, ComparedVariant]]:
    """Pair every size of a product with the larger ones of the same finish and glass."""
    families: dict[tuple[str, str, str], list[ComparedVariant]] = {}
    for one in variants:
        families.setdefault((one.product.slug, one.finish, one.choice), []).append(one)
    ordered = [sorted(family, key=lambda one: one.width_mm) for family in families.values()]
    return [
        (family[low], family[high])
        for family in ordered
        for low in range(len(family))
        for high in range(low + 1, len(family))
    ]


def _tell(
    findings: Told,
    code: str,
    one: ComparedVariant,
    channel: str,
    text: str,
    advice: str,
) -> None:
    place = one.product.source.place()
    key = (code, one.product.slug, channel)
    findings.setdefault(key, Finding(code=code, place=place, text=f"{one.product.keys.title}: {text}", advice=advice))
