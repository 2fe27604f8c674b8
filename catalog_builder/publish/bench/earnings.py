"""What an hour at the bench earns, variant by variant and channel by channel: a page of the bench. Private."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, partial
from statistics import median_low

from markupsafe import Markup

from catalog_builder.phrase import Money
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.bench.market_pay import market_pay
from catalog_builder.publish.bench.plots.axis_words import AxisWords
from catalog_builder.publish.bench.plots.inline_svg import Caption
from catalog_builder.publish.bench.plots.kept_plots import KeptPlots
from catalog_builder.publish.bench.plots.plot import Spread, mark_key, plot_spreads
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.pagination import SheetPart, in_parts
from catalog_builder.records.studio import Studio
from catalog_builder.units import minor_digits, rounded


@dataclass(frozen=True, slots=True, kw_only=True)
class Pay:
    """What an hour at a design earns in a channel: its lowest, middle and highest variant."""

    low: Decimal
    middle: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class DesignLine:
    """A design's pay in each channel, in words: the middle, and from the lowest to the highest."""

    title: str
    pays: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RankLine:
    """A variant in a channel's ranking, in words."""

    place: str
    title: str
    href: str
    variant: str
    price: str
    left: str
    margin: str
    minutes: str
    hour: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranking:
    """A channel's variants, those that earn the most an hour first; ``under`` are those that earn less than the rate.

    ``key`` is the channel's mark in the plot.
    """

    name: str
    title: str
    key: Markup
    over: tuple[RankLine, ...]
    under: tuple[RankLine, ...]


# The pays of a design by the names of channels, and those of all designs by their titles.
Pays = Mapping[str, Pay]
DesignPays = Mapping[str, Pays]

PAGE = "earnings.html"
# A plot of more designs is too long to be taken in: it then shows half as many from each end.
PLOTTED = 60


def write_earnings(
    calculations: Sequence[VariantCalculation], writer: BenchWriter, plots: KeptPlots, folder: Folder
) -> None:
    """Write ``earnings.html``, and ``earnings-2.html`` and so on: the best paid stand on the first."""
    orders = cache(partial(_Orders.of, writer.studio, calculations))
    for part, _ in in_parts(list({variant.product.keys.title for variant in calculations})):
        make = partial(_page, part, orders, calculations, writer, plots)
        folder.make(part.name(PAGE), writer.key("earnings", part, calculations), make)


@dataclass(frozen=True, slots=True)
class _Orders:
    """Designs in the order of their pay, and variants by the channel that they are ranked in."""

    pays: DesignPays
    ranked: Mapping[str, list[VariantCalculation]]

    @classmethod
    def of(cls, studio: Studio, calculations: Sequence[VariantCalculation]) -> _Orders:
        digits = minor_digits(studio.studio.currency)
        by_channel = {name: ranked(calculations, name, digits) for name in studio.channels}
        return cls(design_pays(studio, calculations), by_channel)


def _page(
    part: SheetPart,
    orders: Callable[[], _Orders],
    calculations: Sequence[VariantCalculation],
    writer: BenchWriter,
    plots: KeptPlots,
) -> str:
    studio, wording, pays, first = writer.studio, writer.wording, orders().pays, part.number == 1
    _, titles = in_parts(list(pays))[part.number - 1]
    begin, end = (len(calculations) * at // part.count for at in (part.number - 1, part.number))
    return writer.page(
        PAGE,
        rate=wording.money(studio.bench.hourly_rate),
        leading=studio.channels[studio.channel_on("catalogue")].title,
        plot=_plot(_ends(pays), writer, plots) if first and pays else Markup(),
        ends=writer.say("earnings.ends", count=PLOTTED // 2) if first and len(pays) > PLOTTED else "",
        designs=tuple(
            DesignLine(title=title, pays=tuple(_pay_text(pay, writer) for pay in pays[title].values()))
            for title in titles
        ),
        rankings=tuple(
            _ranking(order[begin:end], name, plots.draw(mark_key, number), begin, writer)
            for number, (name, order) in enumerate(orders().ranked.items())
        ),
        market=market_pay(calculations if first else (), writer),
        part=part.words(writer.theme),
        parts=part.links(writer.theme, PAGE),
    )


def _ends(pays: DesignPays) -> DesignPays:
    """Leave out the middle where there are too many for a plot."""
    titles = list(pays)
    if len(titles) > PLOTTED:
        titles = [*titles[: PLOTTED // 2], *titles[-(PLOTTED // 2) :]]
    return {title: pays[title] for title in titles}


def ranked(calculations: Sequence[VariantCalculation], channel: str, digits: int) -> list[VariantCalculation]:
    """Put variants in the order of what an hour earns in a channel, the most first; equals by title and code."""
    return sorted(
        calculations,
        key=lambda variant: (
            -an_hour(variant, channel, digits),
            variant.product.keys.title.casefold(),
            variant.offer.sku,
        ),
    )


def an_hour(variant: VariantCalculation, channel: str, digits: int) -> Decimal:
    """Give what an hour earns, as it is printed: what reads alike ranks alike."""
    return rounded(variant.earnings[channel].an_hour, digits)


def design_pays(studio: Studio, calculations: Sequence[VariantCalculation]) -> dict[str, dict[str, Pay]]:
    """Give each design's pay by title and channel, in the order of its middle variant in the catalogue's channel."""
    digits = minor_digits(studio.studio.currency)
    designs: dict[str, list[VariantCalculation]] = {}
    for variant in calculations:
        designs.setdefault(variant.product.keys.title, []).append(variant)
    pays = {
        title: {name: _pay([an_hour(variant, name, digits) for variant in variants]) for name in studio.channels}
        for title, variants in designs.items()
    }
    leading = studio.channel_on("catalogue")
    order = sorted(pays, key=lambda title: (-pays[title][leading].middle, title.casefold()))
    return {title: pays[title] for title in order}


def _pay(amounts: Sequence[Decimal]) -> Pay:
    return Pay(low=min(amounts), middle=median_low(amounts), high=max(amounts))


def _pay_text(pay: Pay, writer: BenchWriter) -> tuple[str, str]:
    ends = writer.say("earnings.range", low=Money(pay.low), high=Money(pay.high)) if pay.low < pay.high else ""
    return writer.wording.money(pay.middle), ends


def _plot(pays: DesignPays, writer: BenchWriter, plots: KeptPlots) -> Markup:
    rate = writer.studio.bench.hourly_rate
    rows = [
        (
            title,
            [Spread(low=float(pay.low), middle=float(pay.middle), high=float(pay.high)) for pay in by_channel.values()],
        )
        for title, by_channel in pays.items()
    ]
    caption = Caption(
        name="pay",
        title=writer.say("earnings.plot_title"),
        text=writer.say("earnings.plot_text", rate=Money(rate)),
    )
    line = float(rate), writer.say("earnings.rate", rate=Money(rate))
    return plots.draw(plot_spreads, rows, line, AxisWords(wording=writer.wording), caption)


def _ranking(
    variants: Sequence[VariantCalculation], channel: str, key: Markup, before: int, writer: BenchWriter
) -> Ranking:
    """Rank a stretch of variants, ``before`` it so many others."""
    digits = minor_digits(writer.studio.studio.currency)
    rate = rounded(writer.studio.bench.hourly_rate, digits)
    over: list[RankLine] = []
    under: list[RankLine] = []
    for place, variant in enumerate(variants, before + 1):
        lines = over if an_hour(variant, channel, digits) >= rate else under
        lines.append(_rank_line(place, variant, channel, writer))
    title = writer.studio.channels[channel].title
    return Ranking(name=channel, title=title, key=key, over=tuple(over), under=tuple(under))


def _rank_line(place: int, variant: VariantCalculation, channel: str, writer: BenchWriter) -> RankLine:
    wording, earning = writer.wording, variant.earnings[channel]
    return RankLine(
        place=writer.phrasing.show(place),
        title=variant.product.keys.title,
        href=f"cards/{variant.offer.sku}.html",
        variant=variant.offer.words,
        price=wording.money(variant.prices[channel].printed),
        left=wording.money(earning.left_after_fees),
        margin=wording.percent(earning.margin),
        minutes=wording.number(rounded(variant.cost.minutes, 1), 1),
        hour=wording.money(earning.an_hour),
    )
