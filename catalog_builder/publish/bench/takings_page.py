"""What sold at markets: a page of the bench. Private."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from markupsafe import Markup

from catalog_builder.phrase import Money
from catalog_builder.planning.takings import MarketTakings, Takings, VariantSold, takings_of
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.bench.plots.axis_words import AxisWords
from catalog_builder.publish.bench.plots.inline_svg import Caption
from catalog_builder.publish.bench.plots.kept_plots import KeptPlots
from catalog_builder.publish.bench.plots.plot import bar_key, plot_counts
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.selling.market_book import MarketBook


@dataclass(frozen=True, slots=True, kw_only=True)
class MarketLine:
    """A market's outcome, in words."""

    name: str
    day: str
    sold: str
    takings: str
    fees: str
    pitch: str
    left: str
    bench_hour: str
    whole_hour: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SoldLine:
    """A variant that was brought or sold, in words."""

    title: str
    href: str
    variant: str
    brought: str
    sold: str
    share: str
    takings: str
    hour: str


PAGE = "takings.html"


def write_takings(
    book: MarketBook,
    calculations: Sequence[VariantCalculation],
    writer: BenchWriter,
    plots: KeptPlots,
    folder: Folder,
) -> bool:
    """Write ``takings.html`` where a market has sales, and say whether."""
    with_sales = {sale.market for sale in book.sold_at_markets}
    if not any(market.key in with_sales for market in writer.studio.markets):
        return False
    make = partial(_page, book, calculations, writer, plots)
    folder.make(PAGE, writer.key("takings", book, calculations), make)
    return True


def _page(book: MarketBook, calculations: Sequence[VariantCalculation], writer: BenchWriter, plots: KeptPlots) -> str:
    labels, takings = writer.labels("takings"), takings_of(writer.studio, book, calculations)
    groups = (
        (labels["sold_out"], [sold for sold in takings.variants if sold.share == 1]),
        (labels["sold_some"], [sold for sold in takings.variants if 0 < sold.share < 1]),
        (labels["sold_none"], [sold for sold in takings.variants if not sold.share]),
    )
    empty, full = plots.draw(bar_key, 0), plots.draw(bar_key, 1)
    return writer.page(
        PAGE,
        taxed=any(market.tax for market in takings.markets),
        markets=tuple(_market_line(market, writer) for market in takings.markets),
        groups=tuple(
            (title, tuple(_sold_line(sold, writer) for sold in variants)) for title, variants in groups if variants
        ),
        money_keys=((empty, labels["takings"]), (full, labels["left"])),
        count_keys=((empty, labels["brought"]), (full, labels["sold"])),
        money_plot=_money_plot(takings, writer, plots),
        count_plot=_count_plot(takings, writer, plots),
    )


def _market_line(market: MarketTakings, writer: BenchWriter) -> MarketLine:
    wording = writer.wording
    return MarketLine(
        name=market.market.name,
        day=wording.plain_day(market.market.date),
        sold=_count_text(market.sold, market.brought, writer) if market.brought else writer.phrasing.show(market.sold),
        takings=wording.money(market.takings),
        fees=wording.money(market.fees + market.tax),
        pitch=wording.money(market.pitch),
        left=wording.money(market.left),
        bench_hour=_money(market.bench_hour, wording),
        whole_hour=_money(market.whole_hour, wording),
    )


def _count_text(sold: int, brought: int, writer: BenchWriter) -> str:
    return writer.say("takings.of", sold=sold, brought=brought)


def _money(amount: Decimal | None, wording: Wording) -> str:
    return "–" if amount is None else wording.money(amount)


def _sold_line(sold: VariantSold, writer: BenchWriter) -> SoldLine:
    offer, wording, show = sold.calculation.offer, writer.wording, writer.phrasing.show
    return SoldLine(
        title=sold.calculation.product.keys.title,
        href=f"cards/{offer.sku}.html",
        variant=offer.words,
        brought=show(sold.brought) if sold.brought else "–",
        sold=show(sold.sold),
        share=wording.percent(sold.share),
        takings=wording.money(sold.takings),
        hour=wording.money(sold.calculation.earnings[writer.studio.channel_on("stall")].an_hour),
    )


def _money_plot(takings: Takings, writer: BenchWriter, plots: KeptPlots) -> Markup:
    rows = [
        (
            market.market.name,
            writer.say("takings.left_of", left=Money(market.left), takings=Money(market.takings)),
            (float(market.takings), float(market.left)),
        )
        for market in takings.markets
    ]
    return plots.draw(plot_counts, rows, AxisWords(wording=writer.wording), _caption("money", writer))


def _count_plot(takings: Takings, writer: BenchWriter, plots: KeptPlots) -> Markup:
    """Draw a design's brought and sold pieces, the design of which the most of the brought sold first."""
    import pandas as pd

    counts = pd.DataFrame(
        ((each.calculation.product.keys.title, max(each.brought, each.sold), each.sold) for each in takings.variants),
        columns=["title", "brought", "sold"],
    )
    designs = counts.groupby("title", as_index=False).sum()
    designs["share"] = designs["sold"] / designs["brought"]
    designs = designs.sort_values(["share", "sold", "title"], ascending=[False, False, True])
    rows = [
        (title, _count_text(int(sold), int(brought), writer), (int(brought), int(sold)))
        for title, brought, sold in designs[["title", "brought", "sold"]].itertuples(index=False, name=None)
    ]
    return plots.draw(plot_counts, rows, AxisWords(wording=writer.wording, places=1), _caption("counts", writer))


def _caption(name: str, writer: BenchWriter) -> Caption:
    labels = writer.labels("takings")
    return Caption(name=f"market-{name}", title=labels[f"{name}_title"], text=labels[f"{name}_text"])
