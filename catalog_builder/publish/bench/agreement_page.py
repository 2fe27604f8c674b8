"""Prices side by side: how many hang in each channel, how channels agree, and who carries whom. Private."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import groupby

from catalog_builder.phrase import Money, Quantity, phrase
from catalog_builder.pricing.agreement import left_to_shop, prices_hung
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.bench.costs.price_notes import channel_rules
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.pagination import in_parts
from catalog_builder.units import rounded

PAGE = "agreement.html"
# So many groups of variants stand on a page.
LINES = 1_000


@dataclass(frozen=True, slots=True, kw_only=True)
class HungLine:
    """A channel's different prices, in words."""

    channel: str
    count: str
    prices: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleLine:
    """How a channel sets its price, its price beside the catalogue's, and what it leaves a shop, in words."""

    channel: str
    how: str
    ratio: str
    left: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupLine:
    """Variants of one price, in words: how many, which of them sets it, and what each would be by itself."""

    title: str
    href: str
    size: str
    channel: str
    count: str
    price: str
    set_by: str
    alone: str


def write_agreement(calculations: Sequence[VariantCalculation], writer: BenchWriter, folder: Folder) -> None:
    """Write ``agreement.html``, and ``agreement-2.html`` and so on."""
    for_sale = [each for each in calculations if each.product.keys.availability != "sold"]
    # Reductions pass: how prices belong together is said of those without them.
    lasting = [replace(each, reduced={}) for each in for_sale]
    lines = list(_group_lines(lasting, writer))
    for part, groups in in_parts(lines, LINES):
        first = part.number == 1
        writer.write_page(
            folder,
            part.name(PAGE),
            PAGE,
            day=writer.wording.plain_day(writer.day),
            hung=tuple(_hung_lines(for_sale, writer)) if first else (),
            rules=tuple(_rule_lines(lasting, writer)) if first else (),
            groups=tuple(groups),
            part=part.words(writer.theme),
            parts=part.links(writer.theme, PAGE),
        )


def _hung_lines(calculations: Sequence[VariantCalculation], writer: BenchWriter) -> Iterator[HungLine]:
    for name, channel in writer.studio.channels.items():
        hung = prices_hung(calculations, name)
        each = (writer.say("agreement.hung_each", price=Money(price), count=count) for price, count in hung.items())
        yield HungLine(channel=channel.title, count=writer.phrasing.show(len(hung)), prices=", ".join(each))


def _rule_lines(calculations: Sequence[VariantCalculation], writer: BenchWriter) -> Iterator[RuleLine]:
    studio = writer.studio
    online = studio.channel_on("catalogue")
    for name, channel in studio.channels.items():
        ratios = [
            each.prices[name].before_tax / each.prices[online].before_tax
            for each in calculations
            if each.prices[online].before_tax
        ]
        for_shops = channel.shown_on in ("shops", "stockists") or channel.shop_needs_percent is not None
        left = [left_to_shop(studio, each, name) for each in calculations] if for_shops else []
        yield RuleLine(
            channel=channel.title,
            how=writer.phrasing.show(tuple(channel_rules(studio, name))),
            ratio=_range(ratios, writer),
            left=_range(left, writer),
        )


def _range(shares: Sequence[Decimal], writer: BenchWriter) -> str:
    """Word the lowest and the highest of some shares; one of them where they read alike."""
    if not shares:
        return ""
    low, high = (writer.phrasing.show(Quantity(rounded(each, 3), "share", 1)) for each in (min(shares), max(shares)))
    return low if low == high else writer.say("agreement.range", low=low, high=high)


def _group_lines(calculations: Sequence[VariantCalculation], writer: BenchWriter) -> Iterator[GroupLine]:
    """Word the groups of each product in the order of its variants, those of a channel together."""
    for _, variants in groupby(calculations, lambda each: each.product.slug):
        same = list(variants)
        for name in writer.studio.channels:
            groups: dict[str, list[VariantCalculation]] = {}
            for each in same:
                groups.setdefault(each.standings[name].group, []).append(each)
            yield from (_group_line(group, name, writer) for group in groups.values() if len(group) > 1)


def _group_line(group: Sequence[VariantCalculation], name: str, writer: BenchWriter) -> GroupLine:
    first, words = group[0], {each.offer.sku: each for each in group}
    standing = first.standings[name]
    alone = sorted({each.standings[name].alone for each in group})
    prices = sorted({each.prices[name].printed for each in group})
    usual = len(standing.origin.parts) > 1
    main = words.get(standing.origin.main, first)
    return GroupLine(
        title=first.product.keys.title,
        href=f"cards/{main.offer.sku}.html",
        size=first.offer.size,
        channel=writer.studio.channels[name].title,
        count=writer.phrasing.show(len(group)),
        price=_money_range(prices, writer),
        set_by=writer.labels("agreement")["usual"] if usual else main.offer.words,
        alone=_money_range(alone, writer),
    )


def _money_range(amounts: Sequence[Decimal], writer: BenchWriter) -> str:
    low, high = Money(amounts[0]), Money(amounts[-1])
    return writer.phrasing.show(low if low == high else phrase("agreement.range", low=low, high=high))
