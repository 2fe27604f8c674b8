"""All of the bench's papers. Private: they hold costs, suppliers' rows and floor prices."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from catalog_builder.cache.store import Store
from catalog_builder.mistake import WordedFinding
from catalog_builder.offer import Listing
from catalog_builder.piece.assembly import Assembler
from catalog_builder.planning.estimated_rates import estimate_rates
from catalog_builder.planning.market_preparation import MarketDay, market_days
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.price_moves import PriceMove
from catalog_builder.pricing.set_calculation import SetCalculation
from catalog_builder.publish.bench.agreement_page import write_agreement
from catalog_builder.publish.bench.batches import plan_of, write_batches
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.bench.change_sheet import write_change_sheet
from catalog_builder.publish.bench.costs.cost_card import Parcels, write_cards
from catalog_builder.publish.bench.costs.cost_index import FrontPage, write_index
from catalog_builder.publish.bench.costs.cost_lines import write_cost_lines
from catalog_builder.publish.bench.costs.price_list import write_price_list
from catalog_builder.publish.bench.customers.trade_list import TRADE_LIST, write_trade_list
from catalog_builder.publish.bench.customers.trade_sheet import TRADE_SHEET, write_trade_sheet
from catalog_builder.publish.bench.discount_sheet import write_discounts
from catalog_builder.publish.bench.due import DueBasis, due_lines
from catalog_builder.publish.bench.earnings import write_earnings
from catalog_builder.publish.bench.history import Panels, write_history
from catalog_builder.publish.bench.market_papers import asked_on, write_market_papers
from catalog_builder.publish.bench.marking.marking_page import write_marking_pages
from catalog_builder.publish.bench.paper_link import PaperLink
from catalog_builder.publish.bench.pattern_sheet import write_pattern_sheets
from catalog_builder.publish.bench.plots.kept_plots import KeptPlots
from catalog_builder.publish.bench.rates_page import write_rates
from catalog_builder.publish.bench.sets_page import write_sets
from catalog_builder.publish.bench.takings_page import write_takings
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.pictures.gallery import ProductDrawings
from catalog_builder.publish.sheets.price_sheet import PriceSheetContent
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.records.content import Content


@dataclass(frozen=True, slots=True, kw_only=True)
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
    sets: tuple[SetCalculation, ...] = ()

    @property
    def store(self) -> Store:
        """What earlier builds have made."""
        return self.panels.store

    @property
    def writer(self) -> BenchWriter:
        """What writes the papers."""
        return BenchWriter(studio=self.content.studio, theme=self.theme, day=self.content.day)

    @property
    def price_sheet(self) -> PriceSheetContent:
        """The price sheet at the stall's prices of the day."""
        return PriceSheetContent(
            studio=self.content.studio.studio,
            all_series=self.content.studio.series,
            listings=self.listings,
            drawn=self.drawn,
            prices={offer.sku: offer.stall for listing in self.listings for offer in listing.offers},
            title="",
            terms="",
            day=self.content.day,
            theme=self.theme,
        )


def write_bench(papers: BenchContent, folder: Folder) -> int:
    """Write a cost card for each variant, a pattern sheet for each size, and all other papers; count the pages."""
    for name, data in papers.theme.assets():
        if name.startswith(("assets/bench", "assets/fonts/", "assets/icon.svg")):
            folder.write(name, data)
    content, calculations, writer = papers.content, papers.calculations, papers.writer
    parcels = Parcels(boxes=bool(content.boxes), postage=bool(content.postage))
    write_cards(calculations, content.materials.rows, parcels, writer, papers.store, folder)
    patterns = write_pattern_sheets(content.materials.rows, calculations, writer, papers.store, folder)
    making, hanging = content.studio.making, content.studio.hanging
    assembler = Assembler(content.materials, making, hanging, content.day, papers.store)
    glasses = content.materials.of_kind("glass")
    marking_pages = write_marking_pages(glasses, calculations, assembler, writer, papers.store, folder)
    plans = [plan_of(content.planning_records, plan, calculations, papers.store) for plan in content.plans]
    days = market_days(content.price_records, content.market_book.lists, calculations)
    basis = DueBasis(
        day=content.day,
        ready=content.ready.counts,
        book=content.book,
        quotes=content.quotes,
        reductions=content.reductions,
        calculations=calculations,
        moved=papers.moved,
        plans=plans,
        days=days,
        finding_count=len(papers.findings),
    )
    front = FrontPage(
        due=due_lines(basis, writer),
        batches=write_batches(plans, writer, folder),
        more=tuple(_more_papers(papers, days, folder)),
        findings=papers.findings,
    )
    write_index(calculations, patterns, front, writer, folder)
    write_price_list(calculations, parcels.boxes, writer, folder)
    write_cost_lines(calculations, writer, folder)
    write_discounts(calculations, writer, folder)
    write_agreement(calculations, writer, folder)
    write_earnings(calculations, writer, KeptPlots(papers.store), folder)
    write_history(papers.panels, KeptPlots(papers.store), folder)
    write_change_sheet(papers.moved, content.materials.rows, writer, folder)
    return len(calculations) + marking_pages + len(content.plans) + 6


def _more_papers(papers: BenchContent, days: Sequence[MarketDay], folder: Folder) -> Iterator[PaperLink]:
    """Write the papers that not every studio has, and give the links to them."""
    content, calculations, writer, plots = papers.content, papers.calculations, papers.writer, KeptPlots(papers.store)
    labels = writer.labels("bench_papers")
    estimated = estimate_rates(content.studio, content.materials.rows, content.log, calculations)
    if estimated.studies:
        write_rates(estimated, calculations, writer, plots, folder)
        yield PaperLink(title=labels["rates"], href="rates.html")
    if write_takings(content.market_book, calculations, writer, plots, folder):
        yield PaperLink(title=labels["takings"], href="takings.html")
    if papers.sets:
        write_sets(papers.sets, writer, folder)
        yield PaperLink(title=writer.say("sets.title"), href="sets.html")
    for part in write_trade_sheet(writer.studio, calculations, papers.price_sheet, folder, papers.sets):
        yield PaperLink(title=part.titled(papers.theme, labels["trade_sheet"]), href=part.name(TRADE_SHEET))
    for part in write_trade_list(calculations, writer, folder):
        yield PaperLink(title=part.titled(papers.theme, writer.say("trade.paper")), href=part.name(TRADE_LIST))
    asked = {day.market.key: asked_on(day.priced, content.price_records, calculations, content.sets) for day in days}
    yield from write_market_papers(days, asked, papers.price_sheet, writer, folder)
