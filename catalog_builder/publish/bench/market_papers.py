"""What is printed for a market day: packing list, tally sheet and float, as one page and one PDF. Private."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date
from decimal import Decimal

from catalog_builder.offer import AskedPrice
from catalog_builder.phrase import Money, phrase
from catalog_builder.planning.market_preparation import MarketDay
from catalog_builder.pricing.calculation import VariantCalculation, asked_price
from catalog_builder.pricing.priced_day import offers_on
from catalog_builder.pricing.ready_stock import variant_of
from catalog_builder.pricing.set_calculation import price_on
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.bench.paper_link import PaperLink
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.price_sheet import PriceSheetContent, write_parts
from catalog_builder.publish.sheets.typeset import PAPERS
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.records.price_records import PriceRecords
from catalog_builder.records.product_set import ProductSet

# Squares to tick stand in groups of so many.
TICKS = 5
BLANK_ROWS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedRow:
    """A variant in a box, in words."""

    title: str
    variant: str
    count: str
    weight: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedBox:
    """A box, in words; ``name`` is empty where the list names none."""

    name: str
    summary: str
    rows: tuple[PackedRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TallyRow:
    """A variant to tick off: ``ticks`` are groups of squares, as many in all as are brought."""

    title: str
    variant: str
    price: str
    ticks: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TallyGroup:
    """A series on the tally sheet."""

    title: str
    rows: tuple[TallyRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FloatRow:
    """Coins or notes of one worth, in words."""

    each: str
    count: str
    amount: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MarketSheet:
    """All that a market's papers say, in words."""

    name: str
    day: str
    place: str
    hours: str
    note: str
    summary: str
    priced: str
    boxes: tuple[PackedBox, ...]
    groups: tuple[TallyGroup, ...]
    change: tuple[FloatRow, ...]
    float_total: str
    blanks: tuple[int, ...]


def write_market_papers(
    days: Sequence[MarketDay],
    asked: Mapping[str, Mapping[str, AskedPrice]],
    prices: PriceSheetContent,
    writer: BenchWriter,
    folder: Folder,
) -> Iterator[PaperLink]:
    """Write the papers of every market to come that has a list, and give the links to them.

    ``asked`` is what the stall asks on each market's day, by the market's name and the variant's code. Where that
    changes before a market, its day's price sheet is beside its papers: ``prices`` with those.
    """
    for day in days:
        if day.carried:
            address, sheet = address_of(day), sheet_of(day, writer)
            writer.write_page(folder, f"{address}.html", "market_papers.html", sheet=sheet)
            printed = {**asdict(sheet), "labels": writer.labels("market"), "paper": PAPERS[writer.studio.studio.paper]}
            writer.sheet("bench/market_papers.typ", printed).write(folder, f"{address}.pdf")
            market = f"{sheet.name}, {writer.wording.plain_day(day.market.date)}"
            yield PaperLink(title=writer.say("bench_papers.market", market=market), href=f"{address}.html")
        of_day = replace(prices, prices=asked[day.market.key], day=day.priced)
        if of_day.prices != prices.prices:
            title = writer.say("bench_papers.market_prices", market=day.market.name)
            for part in write_parts(of_day, price_sheet_of(day), folder):
                yield PaperLink(title=part.titled(writer.theme, title), href=part.name(price_sheet_of(day)))


def asked_on(
    day: date, records: PriceRecords, variants: Sequence[VariantCalculation], sets: Sequence[ProductSet]
) -> dict[str, AskedPrice]:
    """Give what the stall asks on a day, by code, for sets too."""
    studio, stall = records.studio, records.studio.channel_on("stall")
    offers = offers_on(records, variants, day)
    asked = {sku: offer.stall for sku, offer in offers.items()}
    printed = {
        studio.channel_on("catalogue"): {variant_of(each): offers[each.offer.sku].online.printed for each in variants},
        stall: {variant_of(each): asked[each.offer.sku].printed for each in variants},
    }
    prices = {each.slug: price_on(studio, each, stall, printed) for each in sets}
    return asked | {slug: asked_price(studio, {stall: price}, stall) for slug, price in prices.items()}


def price_sheet_of(day: MarketDay) -> str:
    """Give the path of a market's own price sheet in the bench's folder."""
    return f"markets/{day.market.key}/price_sheet.pdf"


def address_of(day: MarketDay) -> str:
    """Give the path of a market's papers in the bench's folder, without its ending."""
    return f"markets/{day.market.key}/papers"


def sheet_of(day: MarketDay, writer: BenchWriter) -> MarketSheet:
    """Put a market day into words."""
    wording, market = writer.wording, day.market
    dates = [market.date, *([market.until] if market.until and market.days > 1 else ())]
    return MarketSheet(
        name=market.name,
        day=" – ".join(wording.day(date) for date in dates),
        place=market.place,
        hours=market.hours,
        note=market.note or "",
        summary=load_text(day.count, day.mass_g, day.worth, writer.phrasing),
        priced=writer.say("market.priced", day=wording.plain_day(day.priced)),
        boxes=tuple(_box(name, day, writer) for name in day.boxes),
        groups=_groups(day, writer),
        change=tuple(
            FloatRow(
                each=wording.money(change.each),
                count=writer.phrasing.show(change.count),
                amount=wording.money(change.amount),
            )
            for change in market.change
        ),
        float_total=wording.money(day.float_amount),
        blanks=tuple(range(BLANK_ROWS)),
    )


def load_text(count: int, mass_g: float, worth: Decimal, phrasing: Phrasing) -> str:
    """Say how many pieces there are, how heavy they are and what they come to."""
    weight = phrasing.wording.load(mass_g)
    return phrasing.say(phrase("market.load", count=count, weight=weight, worth=Money(worth)))


def _box(name: str, day: MarketDay, writer: BenchWriter) -> PackedBox:
    carried, wording = day.boxes[name], writer.wording
    worth = sum((row.count * row.calculation.offer.stall_price for row in carried), Decimal(0))
    count, mass_g = sum(row.count for row in carried), sum(row.mass_g for row in carried)
    return PackedBox(
        name=name,
        summary=load_text(count, mass_g, worth, writer.phrasing),
        rows=tuple(
            PackedRow(
                title=row.calculation.product.keys.title,
                variant=row.calculation.offer.words,
                count=writer.phrasing.show(row.count),
                weight=wording.load(row.mass_g),
            )
            for row in carried
        ),
    )


def _groups(day: MarketDay, writer: BenchWriter) -> tuple[TallyGroup, ...]:
    """Put variants in the order of the price sheet on the table: by series, then by title."""
    groups = []
    for slug, series in writer.studio.series.items():
        counts = [(variant, count) for variant, count in day.counts.values() if variant.product.keys.series == slug]
        counts.sort(key=lambda pair: pair[0].product.keys.title)
        rows = tuple(
            TallyRow(
                title=variant.product.keys.title,
                variant=variant.offer.words,
                price=writer.wording.money(variant.offer.stall_price),
                ticks=_ticks(count),
            )
            for variant, count in counts
        )
        if rows:
            groups.append(TallyGroup(title=series.title, rows=rows))
    return tuple(groups)


def _ticks(count: int) -> tuple[int, ...]:
    whole, rest = divmod(count, TICKS)
    return (*([TICKS] * whole), *([rest] if rest else ()))
