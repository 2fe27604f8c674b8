"""The list that shops order from: codes, sizes, trade and suggested retail prices, as a PDF and as CSV to fill in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from functools import partial
from itertools import groupby

from catalog_builder.cache.store import key_of
from catalog_builder.offer import AskedPrice
from catalog_builder.phrase import joined, phrase
from catalog_builder.pricing.calculation import VariantCalculation, asked_price
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.output.workbook import as_csv
from catalog_builder.publish.sheets.pagination import SheetPart, in_parts
from catalog_builder.publish.sheets.typeset import PAPERS, TypesetSheet
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.side_words import size_words
from catalog_builder.publish.theme.tax_words import price_words, tax_sentence
from catalog_builder.records.selling.channel import Channel, for_shops
from catalog_builder.records.studio import Studio

TRADE_LIST, TRADE_TABLE = "trade_list.pdf", "trade_list.csv"


@dataclass(frozen=True, slots=True, kw_only=True)
class TradeRow:
    """A variant as a shop may order it: its code, finish and glass, and its two prices, in words."""

    code: str
    words: str
    trade: str
    retail: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TradeSize:
    """A size of a product with its measures, and what there is of it."""

    size: str
    rows: tuple[TradeRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TradeProduct:
    """A product on the list."""

    title: str
    sizes: tuple[TradeSize, ...]


def retail_price(studio: Studio, variant: VariantCalculation) -> AskedPrice:
    """Give the price that a shop is advised to ask: the catalogue's, not one that is reduced for some days."""
    name = studio.channel_on("catalogue")
    return asked_price(studio, {name: variant.standings[name].published}, name)


def write_trade_list(
    calculations: Sequence[VariantCalculation], writer: BenchWriter, folder: Folder
) -> list[SheetPart]:
    """Write ``trade_list.pdf`` and ``trade_list.csv`` where a channel is for shops, and give the PDF's parts."""
    studio, theme = writer.studio, writer.theme
    name = for_shops(studio.channels)
    if not name:
        return []
    channel, designs = studio.channels[name], list(_for_sale(studio, calculations))
    rows = [_cells(studio, variant, name) for design in designs for variant in design]
    folder.make(TRADE_TABLE, key_of("table", rows), partial(as_csv, rows))
    parts = in_parts(designs)
    for part, some in parts:
        data = {
            "labels": {**writer.labels("trade"), "page": writer.labels("stall")["page"]},
            "language": studio.studio.language,
            "studio": {"name": studio.studio.name, "place": studio.studio.place, "email": studio.studio.email},
            "paper": PAPERS[studio.studio.paper],
            "date_text": writer.say("trade.date", day=writer.day),
            "part": part.words(theme),
            "facts": list(order_facts(channel, writer.phrasing)),
            "notes": [
                writer.say("trade.trade_tax", sentence=tax_sentence(theme, channel.shown_tax)),
                writer.say("trade.retail_tax", sentence=tax_sentence(theme, retail_price(studio, some[0][0]).tax)),
            ]
            if some
            else [],
            "products": [asdict(_product(studio, design, name, writer)) for design in some],
        }
        several = part.count > 1
        sheet = TypesetSheet(theme=theme, template="bench/trade_list.typ", data=data, day=writer.day, several=several)
        sheet.write(folder, part.name(TRADE_LIST))
    return [part for part, _ in parts]


def order_facts(channel: Channel, phrasing: Phrasing) -> Iterator[str]:
    """Say what the least order is, how long one takes, and the terms, as far as the studio says so."""
    if channel.least_first_order is not None:
        yield phrasing.say(phrase("trade.least_first", count=channel.least_first_order))
    if channel.least_order is not None:
        yield phrasing.say(phrase("trade.least", count=channel.least_order))
    if channel.lead_days is not None:
        yield phrasing.say(phrase("trade.lead", count=channel.lead_days))
    if channel.terms:
        yield channel.terms


def _for_sale(studio: Studio, calculations: Sequence[VariantCalculation]) -> Iterator[tuple[VariantCalculation, ...]]:
    """Give the variants of each product that can be had, by series and title."""
    places = {slug: place for place, slug in enumerate(studio.series)}
    ordered = sorted(
        (each for each in calculations if not each.offer.sold),
        key=lambda each: (places[each.product.keys.series], each.product.keys.title, each.product.slug),
    )
    for _, variants in groupby(ordered, lambda each: each.product.slug):
        yield tuple(variants)


def _product(studio: Studio, variants: Sequence[VariantCalculation], name: str, writer: BenchWriter) -> TradeProduct:
    by_size = groupby(variants, lambda each: size_words(writer.theme, writer.wording, each.offer))
    sizes = tuple(
        TradeSize(size=size, rows=tuple(_row(studio, each, name, writer) for each in same)) for size, same in by_size
    )
    return TradeProduct(title=variants[0].product.keys.title, sizes=sizes)


def _row(studio: Studio, variant: VariantCalculation, name: str, writer: BenchWriter) -> TradeRow:
    theme, wording, offer = writer.theme, writer.wording, variant.offer
    return TradeRow(
        code=offer.sku,
        words=joined((offer.finish, offer.glass)),
        trade=price_words(theme, wording, asked_price(studio, variant.prices, name)),
        retail=price_words(theme, wording, retail_price(studio, variant)),
    )


def _cells(studio: Studio, variant: VariantCalculation, name: str) -> Mapping[str, str]:
    """Give a row to fill in: the columns of an order file, the count empty."""
    offer = variant.offer
    return {
        "code": offer.sku,
        "count": "",
        "price": str(variant.prices[name].printed),
        "title": variant.product.keys.title,
        "size": offer.size,
        "finish": offer.finish,
        "glass": offer.glass,
        "retail": str(retail_price(studio, variant).printed),
    }
