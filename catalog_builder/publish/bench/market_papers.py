"""What is printed for a market day: packing list, tally sheet and float, as one page and one PDF. Private."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from decimal import Decimal

from catalog_builder.planning.market_preparation import MarketDay, market_days
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.priced_day import offers_on
from catalog_builder.publish.bench.bench_page import bench_page
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.price_sheet import PriceSheetContent, write_parts
from catalog_builder.publish.sheets.typeset import PAPERS, typeset
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.content import Content

# Squares to tick stand in groups of so many.
TICKS = 5
BLANK_ROWS = 6


@dataclass(frozen=True, slots=True)
class PackedRow:
    """A variant in a box, in words."""

    title: str
    variant: str
    count: str
    weight: str


@dataclass(frozen=True, slots=True)
class PackedBox:
    """A box, in words; ``name`` is empty where the list names none."""

    name: str
    told: str
    rows: tuple[PackedRow, ...]


@dataclass(frozen=True, slots=True)
class TallyRow:
    """A variant to tick off: ``ticks`` are groups of squares, as many in all as are brought."""

    title: str
    variant: str
    price: str
    ticks: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class TallyGroup:
    """A collection on the tally sheet."""

    title: str
    rows: tuple[TallyRow, ...]


@dataclass(frozen=True, slots=True)
class FloatRow:
    """Coins or notes of one worth, in words."""

    each: str
    count: str
    amount: str


@dataclass(frozen=True, slots=True)
class MarketSheet:
    """All that a market's papers say, in words."""

    name: str
    day: str
    place: str
    hours: str
    note: str
    told: str
    priced: str
    boxes: tuple[PackedBox, ...]
    groups: tuple[TallyGroup, ...]
    change: tuple[FloatRow, ...]
    float_total: str
    blanks: tuple[int, ...]


def write_market_papers(
    content: Content, calculations: Sequence[VariantCalculation], priced: PriceSheetContent, folder: Folder
) -> tuple[tuple[str, str], ...]:
    """Write the papers of every market to come that has a list, and give the words and the address of each.

    Where the stall's prices change before a market, its day's price sheet stands beside them: ``priced`` with those.
    """
    papers, theme = [], priced.theme
    for one in market_days(content, calculations):
        if one.carried:
            address = address_of(one)
            sheet = sheet_of(one, content, theme)
            folder.write(f"{address}.html", bench_page(theme, content.studio.studio, "market_papers.html",
                                                       "../../assets/bench.css", sheet=sheet))  # fmt: skip
            folder.write(f"{address}.pdf", _pdf(sheet, content, theme))
            words = f"{sheet.name}, {Wording.of(content.studio.studio).plain_day(one.market.date)}"
            papers.append((theme.words("bench_papers", "market", market=words), f"{address}.html"))
        prices = {sku: offer.stall for sku, offer in offers_on(content, calculations, one.priced).items()}
        if prices != priced.prices:
            for part in write_parts(replace(priced, prices=prices, day=one.priced), price_sheet_of(one), folder):
                title = theme.words("bench_papers", "market_prices", market=one.market.name)
                papers.append((part.titled(theme, title), part.name(price_sheet_of(one))))
    return tuple(papers)


def price_sheet_of(one: MarketDay) -> str:
    """Give the path of a market's own price sheet in the bench's folder."""
    return f"markets/{one.market.key}/price_sheet.pdf"


def address_of(one: MarketDay) -> str:
    """Give the path of a market's papers in the bench's folder, without its ending."""
    return f"markets/{one.market.key}/papers"


def sheet_of(one: MarketDay, content: Content, theme: Theme) -> MarketSheet:
    """Put a market day into words."""
    wording = Wording.of(content.studio.studio)
    market = one.market
    days = [wording.day(market.date), *([wording.day(market.until)] if market.until and market.days > 1 else ())]
    return MarketSheet(
        market.name,
        " – ".join(days),
        market.place,
        market.hours,
        market.note or "",
        told(one.count, one.mass_g, one.worth, theme, wording),
        theme.words("market", "priced", day=wording.plain_day(one.priced)),
        tuple(_box(name, one, theme, wording) for name in one.boxes),
        _groups(one, content, wording),
        tuple(
            FloatRow(wording.money(each.each), str(each.count), wording.money(each.amount)) for each in market.change
        ),
        wording.money(one.float_amount),
        tuple(range(BLANK_ROWS)),
    )


def told(count: int, mass_g: float, worth: Decimal, theme: Theme, wording: Wording) -> str:
    """Say how many pieces there are, how heavy they are and what they come to."""
    return theme.words(
        "market",
        "told_one" if count == 1 else "told",
        count=count,
        weight=wording.load(mass_g),
        worth=wording.money(worth),
    )


def _box(name: str, one: MarketDay, theme: Theme, wording: Wording) -> PackedBox:
    rows = one.boxes[name]
    worth = sum((row.count * row.calculation.offer.stall_price for row in rows), Decimal(0))
    return PackedBox(
        name,
        told(sum(row.count for row in rows), sum(row.mass_g for row in rows), worth, theme, wording),
        tuple(
            PackedRow(
                row.calculation.product.keys.title,
                row.calculation.offer.words,
                str(row.count),
                wording.load(row.mass_g),
            )
            for row in rows
        ),
    )


def _groups(one: MarketDay, content: Content, wording: Wording) -> tuple[TallyGroup, ...]:
    """Put variants in the order of the price sheet on the table: by collection, then by title."""
    groups = []
    for slug, collection in content.studio.collections.items():
        ones = [pair for pair in one.counts.values() if pair[0].product.keys.collection == slug]
        ones.sort(key=lambda pair: pair[0].product.keys.title)
        rows = tuple(
            TallyRow(found.product.keys.title, found.offer.words, wording.money(found.offer.stall_price), _ticks(count))
            for found, count in ones
        )
        if rows:
            groups.append(TallyGroup(collection.title, rows))
    return tuple(groups)


def _ticks(count: int) -> tuple[int, ...]:
    whole, rest = divmod(count, TICKS)
    return (*([TICKS] * whole), *([rest] if rest else ()))


def _pdf(sheet: MarketSheet, content: Content, theme: Theme) -> bytes:
    keys = content.studio.studio
    data = {
        **asdict(sheet),
        "labels": theme.labels["market"],
        "private": theme.labels["bench"]["private"],
        "studio": keys.name,
        "language": keys.language,
        "paper": PAPERS[keys.paper],
    }
    return typeset(theme, "bench/market_papers.typ", data, content.day)
