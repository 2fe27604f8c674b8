"""Consistency: prices that contradict each other or the studio's own terms, each told as a finding."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from catalog_builder.mistake import Finding
from catalog_builder.pricing.policy import Earning, Price
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Studio


@dataclass(frozen=True, slots=True)
class Priced:
    """A variant's prices and earnings by channel, and its width in mm."""

    product: Product
    size: str
    finish: str
    choice: str
    width_mm: float
    prices: Mapping[str, Price]
    earnings: Mapping[str, Earning]


def price_findings(studio: Studio, variants: Sequence[Priced]) -> tuple[Finding, ...]:
    """Compare prices within a product and between channels. Findings of one rule are told once a product."""
    findings: dict[tuple[str, str, str], Finding] = {}
    online, stall = studio.channel_on("catalogue"), studio.channel_on("stall")
    for one in variants:
        for name, channel in studio.channels.items():
            earning = one.earnings[name]
            if earning.profit < 0:
                text = f"the price in {channel.title!r} does not cover the cost"
                _tell(findings, "C01", one, name, text, "raise the markup or the margin of the channel")
            elif earning.an_hour < studio.bench.hourly_rate:
                text = f"the price in {channel.title!r} pays under the studio's rate for an hour"
                _tell(findings, "C02", one, name, text, "raise the price, or make the piece in less time")
        if one.prices[stall].paid < one.prices[online].paid:
            text = "it costs less at the stall than on the studio's own site"
            _tell(findings, "C03", one, stall, text, "bring the two channels into step, or be ready to say why")
    for one, other in _sizes(variants):
        if one.prices[online].printed > other.prices[online].printed:
            text = f"{one.size} costs more than {other.size}, which is larger"
            _tell(findings, "C04", one, online, text, "look at the two cost cards")
    return tuple(findings[key] for key in sorted(findings))


def _sizes(variants: Sequence[Priced]) -> list[tuple[Priced, Priced]]:
    """Pair every size of a product with the larger ones of the same finish and glass."""
    families: dict[tuple[str, str, str], list[Priced]] = {}
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
    findings: dict[tuple[str, str, str], Finding],
    code: str,
    one: Priced,
    channel: str,
    text: str,
    advice: str,
) -> None:
    place = one.product.source.place()
    key = (code, one.product.slug, channel)
    findings.setdefault(key, Finding(code=code, place=place, text=f"{one.product.keys.title}: {text}", advice=advice))
