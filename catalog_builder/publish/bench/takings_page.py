"""What sold at markets: a page of the bench. Private."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from markupsafe import Markup

from catalog_builder.planning.takings import MarketTakings, Takings, VariantSold, takings_of
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_page import bench_page
from catalog_builder.publish.bench.inline_svg import Caption
from catalog_builder.publish.bench.plot import bar_key, plot_counts
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.content import Content
from catalog_builder.units import exact


@dataclass(frozen=True, slots=True)
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


@dataclass(frozen=True, slots=True)
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


def write_takings(content: Content, calculations: Sequence[VariantCalculation], theme: Theme, folder: Folder) -> bool:
    """Write ``takings.html`` if anything sold, and say whether it did."""
    takings = takings_of(content.studio, content.market_book, calculations)
    if not takings.markets:
        return False
    wording, labels = Wording.of(content.studio.studio), theme.labels["takings"]
    groups = (
        ("sold_out", [one for one in takings.variants if one.share == 1]),
        ("sold_some", [one for one in takings.variants if 0 < one.share < 1]),
        ("sold_none", [one for one in takings.variants if not one.share]),
    )
    page = bench_page(
        theme,
        content.studio.studio,
        "takings.html",
        taxed=any(one.tax for one in takings.markets),
        markets=tuple(_market(one, theme, wording) for one in takings.markets),
        groups=tuple(
            (labels[name], tuple(_sold(one, content, wording) for one in ones)) for name, ones in groups if ones
        ),
        money_keys=((bar_key(0), labels["takings"]), (bar_key(1), labels["left"])),
        count_keys=((bar_key(0), labels["brought"]), (bar_key(1), labels["sold"])),
        money_plot=_money_plot(takings, theme, wording),
        count_plot=_count_plot(takings, theme, wording),
    )
    folder.write("takings.html", page)
    return True


def _market(one: MarketTakings, theme: Theme, wording: Wording) -> MarketLine:
    sold = theme.words("takings", "of", sold=one.sold, brought=one.brought) if one.brought else str(one.sold)
    return MarketLine(
        one.market.name,
        wording.plain_day(one.market.date),
        sold,
        wording.money(one.takings),
        wording.money(one.fees + one.tax),
        wording.money(one.pitch),
        wording.money(one.left),
        _money(one.bench_hour, wording),
        _money(one.whole_hour, wording),
    )


def _money(amount: Decimal | None, wording: Wording) -> str:
    return "–" if amount is None else wording.money(amount)


def _sold(one: VariantSold, content: Content, wording: Wording) -> SoldLine:
    offer = one.calculation.offer
    return SoldLine(
        one.calculation.product.keys.title,
        f"cards/{offer.sku}.html",
        offer.words,
        str(one.brought) if one.brought else "–",
        str(one.sold),
        wording.percent(one.share),
        wording.money(one.takings),
        wording.money(one.calculation.earnings[content.studio.channel_on("stall")].an_hour),
    )


def _money_plot(takings: Takings, theme: Theme, wording: Wording) -> Markup:
    labels = theme.labels["takings"]
    rows = [
        (
            one.market.name,
            theme.words("takings", "left_of", left=wording.money(one.left), takings=wording.money(one.takings)),
            (float(one.takings), float(one.left)),
        )
        for one in takings.markets
    ]
    caption = Caption("market-money", labels["money_title"], labels["money_text"])
    return plot_counts(rows, lambda amount: wording.money(exact(amount, 2)), caption)


def _count_plot(takings: Takings, theme: Theme, wording: Wording) -> Markup:
    """Draw a design's brought and sold pieces, the design of which the most of the brought sold first."""
    import pandas as pd

    labels = theme.labels["takings"]
    counts = pd.DataFrame(
        ((each.calculation.product.keys.title, max(each.brought, each.sold), each.sold) for each in takings.variants),
        columns=["title", "brought", "sold"],
    )
    designs = counts.groupby("title", as_index=False).sum()
    designs["share"] = designs["sold"] / designs["brought"]
    designs = designs.sort_values(["share", "sold", "title"], ascending=[False, False, True])
    rows = [
        (title, theme.words("takings", "of", sold=sold, brought=brought), (brought, sold))
        for title, brought, sold in designs[["title", "brought", "sold"]].itertuples(index=False, name=None)
    ]
    caption = Caption("market-counts", labels["counts_title"], labels["counts_text"])
    return plot_counts(rows, lambda amount: wording.number(exact(amount, 1), 1), caption)
