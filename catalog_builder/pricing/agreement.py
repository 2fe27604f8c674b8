"""Whether channels agree: where the site undercuts a stockist, tag and page differ, or a shop is left too little."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from decimal import Decimal

from catalog_builder.mistake import Finding, Place
from catalog_builder.phrase import Money, Quantity, Value, phrase
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.policy import same_shown
from catalog_builder.records.studio import Studio
from catalog_builder.units import rounded

_STUDIO = Place(path="content/studio.toml")


def agreement_findings(studio: Studio, calculations: Sequence[VariantCalculation]) -> Iterator[Finding]:
    """Find where published prices of channels do not agree, with one finding a rule and channel."""
    for_sale = [each for each in calculations if each.product.keys.availability != "sold"]
    yield from _tags(studio, for_sale)
    for name, channel in studio.channels.items():
        if channel.shown_on == "stockists":
            yield from _undercut(studio, name, for_sale)
        if channel.shop_needs_percent is not None:
            yield from _left_short(studio, name, channel.shop_needs_percent, for_sale)
        for key, other in (("not_below", channel.never_below), ("not_above", channel.never_above)):
            if other is not None:
                yield from _not_held(studio, name, key, other, for_sale)
        if channel.prices:
            yield from _over_list(studio, name, for_sale)
        yield from _apart(studio, name, for_sale)


def prices_hung(calculations: Sequence[VariantCalculation], channel: str) -> dict[Decimal, int]:
    """Count the variants for sale at each price that is printed in a channel, the lowest price first."""
    counts = Counter(each.prices[channel].printed for each in calculations if each.product.keys.availability != "sold")
    return dict(sorted(counts.items()))


def left_to_shop(studio: Studio, variant: VariantCalculation, name: str) -> Decimal:
    """Give what a channel leaves a shop that sells at the catalogue's price, as a share of that price before tax.

    A shop that buys keeps the difference between the two prices; one that sells on commission keeps its fee.
    """
    retail, price = variant.prices[studio.channel_on("catalogue")], variant.prices[name]
    if not retail.before_tax:
        return Decimal(0)
    kept = retail.before_tax - price.before_tax + price.paid * studio.channels[name].fee_percent / 100
    return kept / retail.before_tax


def _tags(studio: Studio, variants: Sequence[VariantCalculation]) -> Iterator[Finding]:
    online, stall = studio.channel_on("catalogue"), studio.channel_on("stall")
    apart = [each for each in variants if each.prices[online].paid != each.prices[stall].paid]
    if apart:
        first = apart[0]
        yield _finding(
            "C10",
            "tag_not_page",
            count=len(apart),
            all=len(variants),
            variant=first.offer.sku,
            tag=Money(first.prices[stall].paid),
            page=Money(first.prices[online].paid),
        )


def _undercut(studio: Studio, name: str, variants: Sequence[VariantCalculation]) -> Iterator[Finding]:
    online = studio.channel_on("catalogue")
    under = [each for each in variants if each.prices[online].paid < each.prices[name].paid]
    if under:
        first = under[0]
        yield _finding(
            "C08",
            "site_undercuts",
            channel=studio.channels[name].title,
            count=len(under),
            variant=first.offer.sku,
            page=Money(first.prices[online].paid),
            price=Money(first.prices[name].paid),
        )


def _left_short(
    studio: Studio, name: str, needs_percent: Decimal, variants: Sequence[VariantCalculation]
) -> Iterator[Finding]:
    left = {each.offer.sku: left_to_shop(studio, each, name) for each in variants}
    short = {sku: share for sku, share in left.items() if rounded(share, 6) * 100 < needs_percent}
    if short:
        least = min(short, key=lambda sku: short[sku])
        yield _finding(
            "C09",
            "shop_left_short",
            channel=studio.channels[name].title,
            count=len(short),
            variant=least,
            left=Quantity(rounded(short[least], 3), "share", 1),
            needs=Quantity(needs_percent / 100, "share", 1),
        )


def _not_held(
    studio: Studio, name: str, key: str, other: str, variants: Sequence[VariantCalculation]
) -> Iterator[Finding]:
    """Find prices that do not follow another channel's because the floor price or the book decides."""
    factor = same_shown(studio.channels[name], studio.channels[other])
    sign = 1 if key == "not_below" else -1
    # What the other prints as this channel prints it, to a digit that no currency has.
    beyond = [
        each
        for each in variants
        if rounded(each.prices[name].printed - each.prices[other].printed * factor, 6) * sign < 0
    ]
    if beyond:
        first = beyond[0]
        yield _finding(
            "C11",
            key,
            channel=studio.channels[name].title,
            other=studio.channels[other].title,
            count=len(beyond),
            variant=first.offer.sku,
            price=Money(first.prices[name].printed),
            limit=Money(first.prices[other].printed),
        )


def _over_list(studio: Studio, name: str, variants: Sequence[VariantCalculation]) -> Iterator[Finding]:
    last = studio.channels[name].prices[-1]
    over = [each for each in variants if each.prices[name].printed > last]
    if over:
        highest = max(over, key=lambda each: each.prices[name].printed)
        yield _finding(
            "C13",
            "over_list",
            channel=studio.channels[name].title,
            count=len(over),
            last=Money(last),
            variant=highest.offer.sku,
            price=Money(highest.prices[name].printed),
        )


def _apart(studio: Studio, name: str, variants: Sequence[VariantCalculation]) -> Iterator[Finding]:
    """Find variants of one price that are published at several: rows of the book say so."""
    groups: dict[str, set[Decimal]] = {}
    for each in variants:
        groups.setdefault(each.standings[name].group, set()).add(each.prices[name].printed)
    apart = {sku: prices for sku, prices in groups.items() if len(prices) > 1}
    if apart:
        first = min(apart)
        prices = {"low": Money(min(apart[first])), "high": Money(max(apart[first]))}
        channel = studio.channels[name].title
        yield _finding("C12", "group_apart", channel=channel, count=len(apart), variant=first, **prices)


def _finding(code: str, key: str, **values: Value) -> Finding:
    text, advice = phrase(f"findings_channels.{key}", **values), phrase(f"findings_channels.{key}_advice")
    return Finding(code=code, place=_STUDIO, text=text, advice=advice)
