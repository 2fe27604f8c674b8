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

from catalog_builder.making.quantities import read_uses
from catalog_builder.mistake import MistakeError
from catalog_builder.pricing.book import Terms, standings
from catalog_builder.pricing.cost import Cost, read_cost
from catalog_builder.pricing.policy import read_prices
from catalog_builder.publish.bench_page import bench_page
from catalog_builder.publish.folder import Folder
from catalog_builder.publish.inline_svg import Caption
from catalog_builder.publish.pages import Theme
from catalog_builder.publish.plot import Steps, line_key, plot_steps
from catalog_builder.publish.views import LinkView
from catalog_builder.publish.wording import Wording
from catalog_builder.reckoning import Reckoning
from catalog_builder.records.content import Content
from catalog_builder.store import Store, key_of
from catalog_builder.units import minor_digits


@dataclass(frozen=True, slots=True)
class Past:
    """A variant on a day: its cost, and its price in each channel.

    ``booked`` are the channels whose price the price book gives; ``written`` those whose row is of that very day.
    """

    day: date
    cost: Decimal
    prices: Mapping[str, Decimal]
    booked: frozenset[str]
    written: frozenset[str]


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


def write_history(
    content: Content, reckonings: Sequence[Reckoning], theme: Theme, store: Store, folder: Folder
) -> None:
    """Write ``history.html``, and ``history-2.html`` and so on: each design in the first variant of its record."""
    firsts = list({one.product.slug: one for one in reversed(reckonings)}.values())[::-1]
    span = min(begin_of(content, one) for one in firsts), _month_end(content.day)
    pages = [firsts[at : at + PANELS] for at in range(0, len(firsts), PANELS)]
    for number, ones in enumerate(pages, 1):
        keys = [_panel_key(content, one, span, theme) for one in ones]
        write = partial(_page, content, dict(zip(keys, ones, strict=True)), span, theme, store, (number, len(pages)))
        key = key_of(
            "history", theme.key, content.studio.studio, content.studio.channels, content.day, keys, len(pages)
        )
        folder.make(page_name(number), key, write)


def page_name(number: int) -> str:
    """Give the name of a page of panels, counted from 1."""
    return "history.html" if number == 1 else f"history-{number}.html"


def _page(
    content: Content,
    ones: Mapping[str, Reckoning],
    span: tuple[date, date],
    theme: Theme,
    store: Store,
    place: tuple[int, int],
) -> str:
    wording, (number, count) = Wording.of(content.studio.studio), place
    titles = [channel.title for channel in content.studio.channels.values()]
    pages = [
        LinkView(theme.words("pattern_sheet", "page", page=one, pages=count), page_name(one), current=one == number)
        for one in range(1, count + 1)
    ]
    return bench_page(
        theme,
        content.studio.studio,
        "history.html",
        day=wording.plain_day(content.day),
        keys=tuple((line_key(place), title) for place, title in enumerate(titles)),
        cost_key=line_key(-1),
        panels=tuple(_kept_panel(key, content, one, span, theme, store) for key, one in ones.items()),
        pages=tuple(pages) if count > 1 else (),
    )


def _panel_key(content: Content, one: Reckoning, span: tuple[date, date], theme: Theme) -> str:
    """Give the key of all that a panel follows from."""
    studio, sku = content.studio, one.offer.sku
    prices = {
        name: [price for price in content.materials.prices[name] if price.day <= content.day] for name in _used(one)
    }
    rows = [row for channel in studio.channels for row in content.book.history(sku, channel) if row.date <= content.day]
    settings = studio.studio, studio.channels, studio.book, studio.bench, theme.key
    variant = one.assembled.key, one.size, one.choice, one.finish, one.offer.words, one.product.keys.title
    return key_of("panel", *variant, one.times, one.cost, one.glass, prices, rows, settings, span)


def _used(one: Reckoning) -> list[str]:
    """Give the names of the materials of a variant."""
    return sorted({line.key for line in one.cost.lines if line.group not in ("labour", "overhead")})


def begin_of(content: Content, one: Reckoning) -> date:
    """Give the first day on which all materials of a variant had a price."""
    return max(content.materials.prices[name][0].day for name in _used(one))


def _month_end(day: date) -> date:
    return day.replace(day=monthrange(day.year, day.month)[1])


def _kept_panel(
    key: str, content: Content, one: Reckoning, span: tuple[date, date], theme: Theme, store: Store
) -> Panel:
    """Draw a panel, or take it from the store."""

    def make() -> bytes:
        past = moves(history(content, one, days_of(content, one)))
        return json.dumps(asdict(_panel(content, one, past, span, theme))).encode()

    found = json.loads(store.kept("panels", key, make))
    lines = tuple(PastLine(**{**line, "prices": tuple(line["prices"])}) for line in found["lines"])
    plot = Markup(found["plot"])  # noqa: S704 - drawn by this program
    return Panel(found["title"], found["variant"], found["href"], plot, lines)


def days(content: Content) -> tuple[date, ...]:
    """Give every day on which a material's price or a price of the book came into force, and the build's own."""
    found = {price.day for prices in content.materials.prices.values() for price in prices}
    found |= {row.date for row in content.book.rows} | {content.day}
    return tuple(sorted(day for day in found if day <= content.day))


def days_of(content: Content, one: Reckoning) -> tuple[date, ...]:
    """Give those of the days on which something of one variant's may have changed."""
    found = {price.day for name in _used(one) for price in content.materials.prices[name]}
    found |= {row.date for channel in content.studio.channels for row in content.book.history(one.offer.sku, channel)}
    return tuple(sorted(day for day in found if day <= content.day))


def moves(pasts: Sequence[Past]) -> list[Past]:
    """Leave out the days on which nothing of a variant changed."""
    found: list[Past] = []
    for past in pasts:
        if not found or past.written or replace(past, day=found[-1].day, written=found[-1].written) != found[-1]:
            found.append(past)
    return found


def history(content: Content, one: Reckoning, when: Sequence[date] | None = None) -> tuple[Past, ...]:
    """Follow a variant through days, all of them or some, from the first on which all its materials had a price."""
    uses = read_uses(
        content,
        one.product,
        content.studio.finishes[one.finish],
        one.product.keys.glass[one.choice],
        one.made,
        one.hung,
    )
    if one.glass is not None and one.glass.share.adopted:
        uses = one.glass.share.charge(uses, one.made, one.product.keys.glass[one.choice])
    pasts = []
    for day in days(content) if when is None else when:
        then = replace(content, day=day)
        try:
            cost = read_cost(then, uses, one.times)
        except MistakeError:
            # A material had no price yet.
            continue
        pasts.append(_past(then, one, cost))
    return tuple(pasts)


def _past(then: Content, one: Reckoning, cost: Cost) -> Past:
    """Price a cost as a build of that day would."""
    channels, digits = then.studio.channels, minor_digits(then.studio.studio.currency)
    policy = read_prices(channels, cost.total, digits)
    terms = Terms(then.day, digits, False, then.studio.book.keep_within_percent)
    found = standings(then.book, one.offer.sku, channels, policy, terms)
    entries = {name: standing.entry for name, standing in found.items() if standing.entry is not None}
    return Past(
        then.day,
        cost.total,
        {name: standing.published.printed for name, standing in found.items()},
        frozenset(entries),
        frozenset(name for name, entry in entries.items() if entry.date == then.day),
    )


def _panel(content: Content, one: Reckoning, pasts: Sequence[Past], span: tuple[date, date], theme: Theme) -> Panel:
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


def _changes(pasts: Sequence[Past], theme: Theme, wording: Wording) -> list[PastLine]:
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
