"""What an hour at the bench earns, variant by variant and channel by channel: a page of the bench. Private."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from statistics import median_low

from markupsafe import Markup

from catalog_builder.cache.store import key_of
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_page import bench_page
from catalog_builder.publish.bench.inline_svg import Caption
from catalog_builder.publish.bench.plot import Spread, mark_key, plot_spreads
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.pagination import SheetPart, in_parts
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.content import Content
from catalog_builder.units import minor_digits, rounded


@dataclass(frozen=True, slots=True)
class Pay:
    """What an hour at a design earns in a channel: its lowest, middle and highest variant."""

    low: Decimal
    middle: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True)
class DesignLine:
    """A design's pay in each channel, in words: the middle, and from the lowest to the highest."""

    title: str
    pays: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class RankLine:
    """A variant in a channel's ranking, in words."""

    place: int
    title: str
    href: str
    variant: str
    price: str
    left: str
    margin: str
    minutes: str
    hour: str


@dataclass(frozen=True, slots=True)
class Ranking:
    """A channel's variants, those that earn the most an hour first; ``under`` are those that earn less than the rate.

    ``key`` is the channel's mark in the plot.
    """

    name: str
    title: str
    key: Markup
    over: tuple[RankLine, ...]
    under: tuple[RankLine, ...]


PAGE = "earnings.html"
# A plot of more designs is too long to be taken in: it then shows half as many from each end.
PLOTTED = 60


@dataclass(frozen=True, slots=True)
class EarningsPage:
    """A page: its designs with their pay, and its stretch of each channel's ranking with the place before it.

    ``plotted`` are the designs of the plot, which the first page alone shows; ``cut`` tells that
    they are not all.
    """

    content: Content
    theme: Theme
    part: SheetPart
    designs: Mapping[str, Mapping[str, Pay]]
    rankings: Mapping[str, tuple[int, Sequence[VariantCalculation]]]
    plotted: Mapping[str, Mapping[str, Pay]]
    cut: bool

    @property
    def key(self) -> str:
        """The key of all that it shows."""
        rows = [
            (name, before, [(one.product.keys.title, one.offer.sku, one.offer.words, one.prices[name].printed,
                             one.earnings[name], one.cost.minutes) for one in ones])
            for name, (before, ones) in self.rankings.items()
        ]  # fmt: skip
        return key_of(
            "earnings", self.theme.key, self.content.studio, self.part, self.designs, rows, self.plotted, self.cut
        )

    def html(self) -> str:
        """Fill the page."""
        content, theme = self.content, self.theme
        wording, channels = Wording.of(content.studio.studio), content.studio.channels
        ends = theme.words("earnings", "ends", count=PLOTTED // 2) if self.cut else ""
        return bench_page(
            theme,
            content.studio.studio,
            "earnings.html",
            rate=wording.money(content.studio.bench.hourly_rate),
            leading=channels[content.studio.channel_on("catalogue")].title,
            plot=_plot(content, self.plotted, theme, wording) if self.plotted else Markup(),
            ends=ends,
            designs=tuple(
                DesignLine(title, tuple(_pay_text(pay, theme, wording) for pay in each.values()))
                for title, each in self.designs.items()
            ),
            rankings=tuple(
                _ranking(content, ones, name, number, before, wording)
                for number, (name, (before, ones)) in enumerate(self.rankings.items())
            ),
            part=self.part.words(theme),
            parts=self.part.links(theme, PAGE),
        )


def write_earnings(content: Content, calculations: Sequence[VariantCalculation], theme: Theme, folder: Folder) -> None:
    """Write ``earnings.html``, and ``earnings-2.html`` and so on: the best paid stand on the first."""
    digits = minor_digits(content.studio.studio.currency)
    pays = design_pays(content, calculations)
    orders = {name: ranked(calculations, name, digits) for name in content.studio.channels}
    for part, titles in in_parts(list(pays)):
        begin, end = (len(calculations) * at // part.count for at in (part.number - 1, part.number))
        page = EarningsPage(
            content,
            theme,
            part,
            {title: pays[title] for title in titles},
            {name: (begin, order[begin:end]) for name, order in orders.items()},
            _ends(pays) if part.number == 1 else {},
            part.number == 1 and len(pays) > PLOTTED,
        )
        folder.make(part.name(PAGE), page.key, page.html)


def _ends(pays: Mapping[str, Mapping[str, Pay]]) -> Mapping[str, Mapping[str, Pay]]:
    """Leave out the middle where there are too many for a plot."""
    titles = list(pays)
    shown = titles if len(titles) <= PLOTTED else [*titles[: PLOTTED // 2], *titles[-(PLOTTED // 2) :]]
    return {title: pays[title] for title in shown}


def ranked(calculations: Sequence[VariantCalculation], channel: str, digits: int) -> list[VariantCalculation]:
    """Put variants in the order of what an hour earns in a channel, the most first; equals by title and code."""
    return sorted(
        calculations,
        key=lambda one: (-an_hour(one, channel, digits), one.product.keys.title.casefold(), one.offer.sku),
    )


def an_hour(one: VariantCalculation, channel: str, digits: int) -> Decimal:
    """Give what an hour earns, as it is printed: what reads alike ranks alike."""
    return rounded(one.earnings[channel].an_hour, digits)


def design_pays(content: Content, calculations: Sequence[VariantCalculation]) -> dict[str, dict[str, Pay]]:
    """Give each design's pay by title and channel, in the order of its middle variant in the catalogue's channel."""
    digits = minor_digits(content.studio.studio.currency)
    variants: dict[str, list[VariantCalculation]] = {}
    for one in calculations:
        variants.setdefault(one.product.keys.title, []).append(one)
    pays = {
        title: {name: _pay([an_hour(one, name, digits) for one in each]) for name in content.studio.channels}
        for title, each in variants.items()
    }
    leading = content.studio.channel_on("catalogue")
    order = sorted(pays, key=lambda title: (-pays[title][leading].middle, title.casefold()))
    return {title: pays[title] for title in order}


def _pay(amounts: Sequence[Decimal]) -> Pay:
    return Pay(min(amounts), median_low(amounts), max(amounts))


def _pay_text(pay: Pay, theme: Theme, wording: Wording) -> tuple[str, str]:
    ends = {"low": wording.money(pay.low), "high": wording.money(pay.high)}
    return wording.money(pay.middle), theme.words("earnings", "range", **ends) if pay.low < pay.high else ""


def _plot(content: Content, pays: Mapping[str, Mapping[str, Pay]], theme: Theme, wording: Wording) -> Markup:
    labels, rate = theme.labels["earnings"], content.studio.bench.hourly_rate
    rows = [
        (title, [Spread(float(pay.low), float(pay.middle), float(pay.high)) for pay in each.values()])
        for title, each in pays.items()
    ]
    line = (float(rate), labels["rate"].format(rate=wording.money(rate)))
    caption = Caption("pay", labels["plot_title"], labels["plot_text"].format(rate=wording.money(rate)))
    return plot_spreads(rows, line, lambda amount: wording.money(Decimal(str(amount))), caption)


def _ranking(
    content: Content, ones: Sequence[VariantCalculation], name: str, number: int, before: int, wording: Wording
) -> Ranking:
    digits = minor_digits(content.studio.studio.currency)
    rate = rounded(content.studio.bench.hourly_rate, digits)
    over: list[RankLine] = []
    under: list[RankLine] = []
    for place, one in enumerate(ones, before + 1):
        (over if an_hour(one, name, digits) >= rate else under).append(_line(place, one, name, wording))
    return Ranking(name, content.studio.channels[name].title, mark_key(number), tuple(over), tuple(under))


def _line(place: int, one: VariantCalculation, channel: str, wording: Wording) -> RankLine:
    earning = one.earnings[channel]
    return RankLine(
        place,
        one.product.keys.title,
        f"cards/{one.offer.sku}.html",
        one.offer.words,
        wording.money(one.prices[channel].printed),
        wording.money(earning.left_after_fees),
        wording.percent(earning.margin),
        wording.number(rounded(one.cost.minutes, 1), 1),
        wording.money(earning.an_hour),
    )
