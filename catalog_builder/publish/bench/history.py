"""What each design cost and sold for, from day to day: a page of the bench. Private.

The cost of an earlier day is today's quantities and minutes at the material prices of that day. Pictures end with the
month, so that a day on which nothing changed leaves them as they are.
"""

from __future__ import annotations

import json
from calendar import monthrange
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date
from decimal import Decimal
from functools import partial

from babel.dates import format_date
from markupsafe import Markup

from catalog_builder.cache.store import Store, key_of
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_page import bench_page
from catalog_builder.publish.bench.inline_svg import Caption
from catalog_builder.publish.bench.plot import Steps, line_key, plot_steps
from catalog_builder.publish.bench.price_history import PastPrice, begin_of, days_of, history, moves, used
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.pagination import SheetPart, in_parts
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.content import Content


@dataclass(frozen=True, slots=True)
class PastLine:
    """A day on which something changed, in words."""

    day: str
    cost: str
    prices: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
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


@dataclass(frozen=True, slots=True)
class Panels:
    """All that panels are made of: ``keyed`` are the designs' first variants by key, ``span`` the pictures' days."""

    content: Content
    theme: Theme
    store: Store
    span: tuple[date, date]
    keyed: tuple[tuple[str, VariantCalculation], ...]

    @classmethod
    def of(cls, content: Content, calculations: Sequence[VariantCalculation], theme: Theme, store: Store) -> Panels:
        """Take each design in the first variant of its record."""
        firsts = tuple({one.product.slug: one for one in reversed(calculations)}.values())[::-1]
        span = min(begin_of(content, one) for one in firsts), _month_end(content.day)
        panels = cls(content, theme, store, span, ())
        return replace(panels, keyed=tuple((panels.key(one), one) for one in firsts))

    def key(self, one: VariantCalculation) -> str:
        """Give the key of all that a panel follows from."""
        content, studio, day = self.content, self.content.studio, self.content.day
        prices = {name: [one for one in content.materials.prices[name] if one.day <= day] for name in used(one)}
        books = (content.book.history(one.offer.sku, channel) for channel in studio.channels)
        rows = [row for book in books for row in book if row.date <= day]
        settings = studio.studio, studio.channels, studio.book, studio.bench, self.theme.key, self.span
        variant = one.assembled.key, one.size, one.choice, one.finish, one.offer.words, one.product.keys.title
        key = key_of("panel", *variant, one.times, one.cost, one.glass, prices, rows, *settings)
        self.store.use("panels", key)
        return key

    def kept(self, key: str, one: VariantCalculation) -> Panel:
        """Draw a panel, or take it from the store."""

        def make() -> bytes:
            past = moves(history(self.content, one, days_of(self.content, one)))
            return json.dumps(asdict(_panel(self.content, one, past, self.span, self.theme))).encode()

        found = json.loads(self.store.kept("panels", key, make))
        lines = tuple(PastLine(**{**line, "prices": tuple(line["prices"])}) for line in found["lines"])
        plot = Markup(found["plot"])  # noqa: S704 - drawn by this program
        return Panel(found["title"], found["variant"], found["href"], plot, lines)


def write_history(panels: Panels, folder: Folder) -> None:
    """Write ``history.html``, and ``history-2.html`` and so on: each design in the first variant of its record."""
    studio, day = panels.content.studio, panels.content.day
    for part, ones in in_parts(panels.keyed, PANELS):
        keyed = dict(ones)
        key = key_of("history", panels.theme.key, studio.studio, studio.channels, day, list(keyed), part)
        folder.make(part.name(PAGE), key, partial(_page, panels, keyed, part))


def _page(panels: Panels, keyed: Mapping[str, VariantCalculation], part: SheetPart) -> str:
    studio, theme = panels.content.studio, panels.theme
    return bench_page(
        theme,
        studio.studio,
        PAGE,
        day=Wording.of(studio.studio).plain_day(panels.content.day),
        keys=tuple((line_key(place), channel.title) for place, channel in enumerate(studio.channels.values())),
        cost_key=line_key(-1),
        panels=tuple(panels.kept(key, one) for key, one in keyed.items()),
        parts=part.links(theme, PAGE),
    )


def _month_end(day: date) -> date:
    return day.replace(day=monthrange(day.year, day.month)[1])


def _panel(
    content: Content, one: VariantCalculation, pasts: Sequence[PastPrice], span: tuple[date, date], theme: Theme
) -> Panel:
    wording = Wording.of(content.studio.studio)
    channels = content.studio.channels
    moved = tuple(past.day for past in pasts)
    cost = Steps("cost", -1, moved, tuple(float(past.cost) for past in pasts))
    prices = [
        Steps(
            name,
            number,
            moved,
            tuple(float(past.prices[name]) for past in pasts),
            tuple(past.day for past in pasts if name in past.written),
        )
        for number, name in enumerate(channels)
    ]
    old, new = pasts[0], pasts[-1]
    told = {"begin": wording.plain_day(old.day), "old": wording.money(old.cost), "new": wording.money(new.cost)}
    told["prices"] = "; ".join(
        theme.words(
            "history", "price_text", channel=channel.title, old=wording.money(old.prices[name]),
            new=wording.money(new.prices[name]),
        )
        for name, channel in channels.items()
    )  # fmt: skip
    caption = Caption(
        one.product.slug,
        theme.words("history", "plot_title", title=one.product.keys.title),
        theme.words("history", "plot_text", **told),
    )
    plot = plot_steps(
        [(theme.labels["history"]["prices"], prices), (theme.labels["history"]["cost"], [cost])],
        span,
        lambda amount: wording.money(Decimal(str(amount))),
        lambda day: _short_day(day, wording),
        caption,
    )
    lines = tuple(_changes(pasts, theme, wording))
    return Panel(one.product.keys.title, one.offer.words, f"cards/{one.offer.sku}.html", plot, lines)


def _changes(pasts: Sequence[PastPrice], theme: Theme, wording: Wording) -> list[PastLine]:
    """Word the days, leaving out those on which nothing that is shown changed."""
    lines: list[PastLine] = []
    for past in pasts:
        source = "book" if past.booked == set(past.prices) else "both" if past.booked else "policy"
        line = PastLine(
            wording.plain_day(past.day),
            wording.money(past.cost),
            tuple(wording.money(price) for price in past.prices.values()),
            theme.labels["history"][f"from_{source}"],
        )
        if not lines or replace(line, day=lines[-1].day) != lines[-1]:
            lines.append(line)
    return lines


def _short_day(day: date, wording: Wording) -> str:
    return format_date(day, format="MMM y" if day.day == 1 else "d MMM y", locale=wording.locale)
