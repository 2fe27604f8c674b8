"""What each design cost and sold for, from day to day: a page of the bench. Private.

The cost of an earlier day is today's quantities and minutes at the material prices of that day. Pictures end with the
month, so that a day on which nothing changed leaves them as they are.
"""

from __future__ import annotations

import json
from calendar import monthrange
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date
from itertools import groupby

from markupsafe import Markup

from catalog_builder.cache.store import Store, key_of
from catalog_builder.phrase import Money, phrase
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.bench.plots.axis_words import AxisWords
from catalog_builder.publish.bench.plots.inline_svg import Caption
from catalog_builder.publish.bench.plots.kept_plots import KeptPlots
from catalog_builder.publish.bench.plots.plot import COST, Steps, line_key, plot_steps
from catalog_builder.publish.bench.price_history import PastPrice, begin_of, days_of, history, kin_of, moves, used
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.pagination import in_parts
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.records.price_records import PriceRecords


@dataclass(frozen=True, slots=True, kw_only=True)
class PastLine:
    """A day on which something changed, in words."""

    day: str
    cost: str
    prices: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """A design's picture and figures."""

    title: str
    variant: str
    href: str
    plot: Markup
    lines: tuple[PastLine, ...]


# More pictures than these make a page slow to open and long to read.
PANELS = 60
PAGE = "history.html"


@dataclass(frozen=True, slots=True, kw_only=True)
class Panels:
    """All that panels are made of: ``keyed`` are designs' first variants and those that share their price."""

    records: PriceRecords
    theme: Theme
    store: Store
    span: tuple[date, date]
    keyed: tuple[tuple[str, tuple[VariantCalculation, ...]], ...] = ()

    @classmethod
    def of(
        cls, records: PriceRecords, calculations: Sequence[VariantCalculation], theme: Theme, store: Store
    ) -> Panels:
        """Take each design in the first variant of its record."""
        designs = [list(variants) for _, variants in groupby(calculations, lambda variant: variant.product.slug)]
        firsts = [variants[0] for variants in designs]
        span = min(begin_of(records.materials, variant) for variant in firsts), _month_end(records.day)
        panels = cls(records=records, theme=theme, store=store, span=span)
        kins = [kin_of(variants, variants[0]) for variants in designs]
        return replace(panels, keyed=tuple((panels.key(kin), kin) for kin in kins))

    @property
    def writer(self) -> BenchWriter:
        """What words the panels and writes their pages."""
        return BenchWriter(studio=self.records.studio, theme=self.theme, day=self.records.day)

    def key(self, kin: Sequence[VariantCalculation]) -> str:
        """Give the key of all that a panel follows from."""
        records, studio, day = self.records, self.records.studio, self.records.day
        names = sorted({name for each in kin for name in used(each)})
        prices = {name: [row for row in records.materials.prices[name] if row.day <= day] for name in names}
        books = (records.book.history(each.offer.sku, channel) for each in kin for channel in studio.channels)
        rows = [row for book in books for row in book if row.date <= day]
        settings = studio.studio, studio.channels, studio.book, studio.bench, self.theme.key, self.span
        key = key_of("panel", kin, prices, rows, *settings)
        self.store.use("panels", key)
        return key

    def kept(self, key: str, kin: Sequence[VariantCalculation]) -> Panel:
        """Draw a panel, or take it from the store."""

        def make() -> bytes:
            past = moves(history(self.records, kin, days_of(self.records, kin)))
            return json.dumps(asdict(_panel(kin[0], past, self.span, self.writer))).encode()

        values = json.loads(self.store.kept("panels", key, make))
        lines = tuple(PastLine(**{**line, "prices": tuple(line["prices"])}) for line in values.pop("lines"))
        plot = Markup(values.pop("plot"))  # noqa: S704 - drawn by this program
        return Panel(plot=plot, lines=lines, **values)


def write_history(panels: Panels, plots: KeptPlots, folder: Folder) -> None:
    """Write ``history.html``, and ``history-2.html`` and so on: each design in the first variant of its record."""
    writer = panels.writer
    titles = [channel.title for channel in writer.studio.channels.values()]
    for part, keyed in in_parts(panels.keyed, PANELS):
        writer.write_page(
            folder,
            part.name(PAGE),
            PAGE,
            day=writer.wording.plain_day(writer.day),
            keys=tuple((plots.draw(line_key, number), title) for number, title in enumerate(titles)),
            cost_key=plots.draw(line_key, COST),
            panels=tuple(panels.kept(key, kin) for key, kin in keyed),
            parts=part.links(panels.theme, PAGE),
        )


def _month_end(day: date) -> date:
    return day.replace(day=monthrange(day.year, day.month)[1])


def _panel(
    variant: VariantCalculation, pasts: Sequence[PastPrice], span: tuple[date, date], writer: BenchWriter
) -> Panel:
    labels = writer.labels("history")
    days = tuple(past.day for past in pasts)
    cost = Steps(name="cost", number=COST, days=days, amounts=tuple(float(past.cost) for past in pasts))
    prices = [
        Steps(
            name=name,
            number=number,
            days=days,
            amounts=tuple(float(past.prices[name]) for past in pasts),
            dots=tuple(past.day for past in pasts if name in past.written),
        )
        for number, name in enumerate(writer.studio.channels)
    ]
    plot = plot_steps(
        [(labels["prices"], prices), (labels["cost"], [cost])],
        span,
        AxisWords(wording=writer.wording),
        _caption(variant, pasts[0], pasts[-1], writer),
    )
    return Panel(
        title=variant.product.keys.title,
        variant=variant.offer.words,
        href=f"cards/{variant.offer.sku}.html",
        plot=plot,
        lines=tuple(_past_lines(pasts, writer)),
    )


def _caption(variant: VariantCalculation, old: PastPrice, new: PastPrice, writer: BenchWriter) -> Caption:
    prices = "; ".join(
        writer.say(
            "history.price_text", channel=channel.title, old=Money(old.prices[name]), new=Money(new.prices[name])
        )
        for name, channel in writer.studio.channels.items()
    )
    costs = phrase("history.plot_text", begin=old.day, old=Money(old.cost), new=Money(new.cost), prices=prices)
    return Caption(
        name=variant.product.slug,
        title=writer.say("history.plot_title", title=variant.product.keys.title),
        text=writer.phrasing.say(costs),
    )


def _past_lines(pasts: Sequence[PastPrice], writer: BenchWriter) -> list[PastLine]:
    """Word the days, leaving out those on which nothing that the page shows changed."""
    wording, lines = writer.wording, list[PastLine]()
    for past in pasts:
        source = "book" if past.booked == set(past.prices) else "both" if past.booked else "policy"
        line = PastLine(
            day=wording.plain_day(past.day),
            cost=wording.money(past.cost),
            prices=tuple(wording.money(price) for price in past.prices.values()),
            source=writer.labels("history")[f"from_{source}"],
        )
        if not lines or replace(line, day=lines[-1].day) != lines[-1]:
            lines.append(line)
    return lines
