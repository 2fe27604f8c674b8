"""The bench's own papers: cost cards and price lists. Private: they hold costs, suppliers' rows and floor prices."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from markupsafe import Markup

from catalog_builder.cache.store import Store, key_of
from catalog_builder.mistake import WordedFinding
from catalog_builder.offer import Listing
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.cost import CostLine
from catalog_builder.pricing.price_moves import PriceMove
from catalog_builder.publish.bench.batches import glass_note, write_batches
from catalog_builder.publish.bench.bench_page import STYLE, bench_page
from catalog_builder.publish.bench.change_sheet import write_changes
from catalog_builder.publish.bench.cost_index import FrontPage, write_index
from catalog_builder.publish.bench.cost_lines import write_cost_lines
from catalog_builder.publish.bench.cost_shares import shares
from catalog_builder.publish.bench.discount_sheet import write_discounts
from catalog_builder.publish.bench.earnings import write_earnings
from catalog_builder.publish.bench.history import Panels, write_history
from catalog_builder.publish.bench.market_papers import write_market_papers
from catalog_builder.publish.bench.parcel_lines import parcel_notes
from catalog_builder.publish.bench.pattern_sheet import write_pattern_sheets
from catalog_builder.publish.bench.price_list import price_rows
from catalog_builder.publish.bench.rates_page import write_rates
from catalog_builder.publish.bench.takings_page import write_takings
from catalog_builder.publish.bench.trade_sheet import TRADE_SHEET, write_trade_sheet
from catalog_builder.publish.drawn_models import kept_view, view_key
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.output.workbook import as_csv, as_workbook
from catalog_builder.publish.pictures.gallery import ProductDrawings
from catalog_builder.publish.sheets.price_sheet import PriceSheetContent
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.publish.weighing import weight_notes, weight_rows
from catalog_builder.records.content import Content

GROUPS = ("glass", "foil", "solder", "wire", "hanging", "consumables", "packing", "labour", "overhead")
UNITS = {"each": "", "min": " min", "dm2": " dm²"}


@dataclass(frozen=True, slots=True)
class CardLine:
    """A line of a cost card, in words."""

    name: str
    quantity: str
    unit_price: str
    source: str
    amount: str


@dataclass(frozen=True, slots=True)
class CardGroup:
    """Lines of one kind with their heading."""

    heading: str
    rows: tuple[CardLine, ...]


@dataclass(frozen=True, slots=True)
class StepLine:
    """A step's minutes and how they were reckoned."""

    name: str
    minutes: str
    formula: str


@dataclass(frozen=True, slots=True)
class ChannelLine:
    """What a channel's price leaves."""

    title: str
    price: str
    kept: str
    margin: str
    hour: str
    floor: str


@dataclass(frozen=True, slots=True)
class BenchContent:
    """All that the bench's papers are made of; ``drawn`` holds each product's SVG by its name."""

    content: Content
    calculations: tuple[VariantCalculation, ...]
    findings: tuple[WordedFinding, ...]
    moved: tuple[PriceMove, ...]
    theme: Theme
    listings: tuple[Listing, ...]
    drawn: ProductDrawings
    panels: Panels

    @property
    def store(self) -> Store:
        """What earlier builds have made."""
        return self.panels.store

    @property
    def price_sheet(self) -> PriceSheetContent:
        """The price sheet at the stall's prices of the day."""
        return PriceSheetContent(
            studio=self.content.studio.studio,
            collections=self.content.studio.collections,
            listings=self.listings,
            drawn=self.drawn,
            prices={one.offer.sku: one.offer.stall for one in self.calculations},
            title="",
            terms="",
            day=self.content.day,
            theme=self.theme,
        )


def write_bench(papers: BenchContent, folder: Folder) -> int:
    """Write a cost card for each variant, a pattern sheet for each size, the list of all, and the prices as a table."""
    for name, data in papers.theme.assets():
        if name.startswith(("assets/bench", "assets/fonts/")):
            folder.write(name, data)
    wording = Wording.of(papers.content.studio.studio)
    sent = bool(papers.content.boxes), bool(papers.content.postage)
    shared = key_of("cost card", papers.theme.key, papers.content.studio, sent)
    for one in papers.calculations:
        papers.store.use("views", view_key(one.assembled, papers.theme, wording))
        folder.make(f"cards/{one.offer.sku}.html", _card_key(shared, one), partial(_card, papers, one, wording))
    patterns = write_pattern_sheets(papers.content, papers.calculations, papers.theme, papers.store, folder)
    batches = write_batches(papers.content, papers.calculations, papers.theme, folder)
    front = FrontPage(batches, more_papers(papers, folder), papers.findings)
    write_index(papers.content, papers.calculations, papers.theme, patterns, front, folder)
    rows_of_prices = price_rows(papers.content, papers.calculations)
    folder.write("price_list.csv", as_csv(rows_of_prices))
    folder.write("price_list.xlsx", as_workbook(rows_of_prices, "Prices", papers.content.day, 2))
    write_cost_lines(papers.content, papers.calculations, papers.theme, folder)
    write_discounts(papers.content, papers.calculations, papers.theme, folder)
    write_earnings(papers.content, papers.calculations, papers.theme, folder)
    write_history(papers.panels, folder)
    write_changes(papers.moved, papers.content, papers.theme, folder)
    return len(papers.calculations) + len(papers.content.plans) + 5


def more_papers(papers: BenchContent, folder: Folder) -> tuple[tuple[str, str], ...]:
    """Write the papers that not every studio has, and give the words and the address of each."""
    content, labels = papers.content, papers.theme.labels["bench_papers"]
    written = {
        "rates": write_rates(content, papers.calculations, papers.theme, folder),
        "takings": write_takings(content, papers.calculations, papers.theme, folder),
    }
    there = [(labels[name], f"{name}.html") for name, is_there in written.items() if is_there]
    trade = write_trade_sheet(content, papers.calculations, papers.price_sheet, folder)
    there += [(part.titled(papers.theme, labels["trade_sheet"]), part.name(TRADE_SHEET)) for part in trade]
    return (*there, *write_market_papers(content, papers.calculations, papers.price_sheet, folder))


def card_groups(one: VariantCalculation, phrasing: Phrasing) -> Iterator[tuple[str, tuple[CardLine, ...]]]:
    """Give the lines of a cost card in their groups, worded."""
    for group in GROUPS:
        lines = [line for line in one.cost.lines if line.group == group]
        if lines:
            yield group, tuple(_line(line, phrasing) for line in lines)


def _line(line: CostLine, phrasing: Phrasing) -> CardLine:
    wording = phrasing.wording
    unit = UNITS.get(line.unit, f" {line.unit}")
    return CardLine(
        phrasing.show(line.name),
        f"{wording.number(line.quantity, 3)}{unit}",
        f"{wording.fine_money(line.unit_price)}{' per' + unit if unit else ''}",
        f"{phrasing.say(line.pack)}; {line.source}; {phrasing.say(line.basis)}",
        wording.money(line.amount),
    )


def channel_lines(one: VariantCalculation, content: Content, wording: Wording) -> tuple[ChannelLine, ...]:
    """Give what each channel's price leaves, worded."""
    return tuple(
        ChannelLine(
            channel.title,
            wording.money(one.prices[name].printed),
            wording.money(one.earnings[name].left_after_fees),
            wording.percent(one.earnings[name].margin),
            wording.money(one.earnings[name].an_hour),
            wording.money(one.earnings[name].floor),
        )
        for name, channel in content.studio.channels.items()
    )


def _card_key(shared: str, one: VariantCalculation) -> str:
    """Give the key of all that a cost card follows from."""
    calculated = one.measures, one.times, one.cost, one.prices, one.earnings, one.offer, one.packed, one.glass
    return key_of(shared, one.assembled.key, one.product.keys.title, one.size, one.choice, *calculated)


def _card(papers: BenchContent, one: VariantCalculation, wording: Wording) -> str:
    labels, phrasing = papers.theme.labels["groups"], Phrasing(papers.theme.labels, wording)
    suspension = one.suspension
    notes: tuple[str, ...] = (
        papers.theme.words(
            "bench", "measured", pieces=one.made.pieces, seam=wording.number(one.measures.seam_m, 2),
            rim=wording.number(one.measures.rim_m, 2), joints=one.made.joints,
        ),
        *parcel_notes(papers.content, one, papers.theme, wording),
        papers.theme.words("bench", "waiting", minutes=wording.number(one.cost.waiting, 0)),
        papers.theme.labels["bench"]["estimate"],
    )  # fmt: skip
    if one.glass is not None:
        notes = (*notes, glass_note(one.glass, papers.theme, wording))
    return bench_page(
        papers.theme,
        papers.content.studio.studio,
        "cost_card.html",
        f"../{STYLE}",
        title=one.product.keys.title,
        variant=one.offer.words,
        groups=tuple(CardGroup(labels[group], rows) for group, rows in card_groups(one, phrasing)),
        total=wording.money(one.cost.total),
        shares=shares(one.cost, GROUPS, labels, papers.theme.labels["shares"]["under"], wording),
        steps=tuple(
            StepLine(time.title, wording.number(time.minutes, 1), phrasing.say(time.basis)) for time in one.times
        ),
        channels=channel_lines(one, papers.content, wording),
        notes=notes,
        weights=weight_rows(papers.content, one.made, suspension, papers.theme, wording),
        weight=wording.fine_mass(suspension.mass_g),
        weight_notes=tuple(weight_notes(papers.content, one.made, suspension, papers.theme, wording)),
        hanging=Markup(kept_view(one.product, one.assembled, papers.theme, wording, papers.store)),  # noqa: S704 - drawn here
    )
