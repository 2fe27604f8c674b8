"""The command ``market``: everything for the next market, published and told in one go."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

from catalog_builder.build import calculate_and_publish
from catalog_builder.mistake import nearest
from catalog_builder.phrase import Money, phrase
from catalog_builder.planning.market_preparation import MarketDay, market_days
from catalog_builder.publish.bench.costs.price_notes import hung_phrase
from catalog_builder.publish.bench.market_papers import address_of, load_text, price_sheet_of
from catalog_builder.publish.studio_calculation import Progress, StudioCalculation
from catalog_builder.publish.theme.phrasing import Phrasing


class NoMarketError(Exception):
    """There is no market to come, or none of the name that was asked for."""


def prepare(project: Path, day: date, name: str | None, workers: int, progress: Progress) -> tuple[str, ...]:
    """Publish all, and say what to print, what to pack and where the papers lie.

    ``name`` is the code or the name of a market to come; without one it is the next.

    Raises:
        MistakeError: the records have mistakes; nothing is published.
        NoMarketError: there is no such market; nothing is published.
    """
    chosen: list[MarketDay] = []

    def choose(calculated: StudioCalculation) -> None:
        content = calculated.content
        days = market_days(content, calculated.calculations)
        chosen.append(_chosen(days, name, day))

    calculated, _ = calculate_and_publish(project, day, workers, progress, choose)
    return tuple(_lines(project, chosen[0], calculated))


def _chosen(days: tuple[MarketDay, ...], name: str | None, day: date) -> MarketDay:
    if not days:
        raise NoMarketError(f"studio.toml has no market on {day} or later.")
    if name is None:
        return days[0]
    word = name.casefold()
    named = [market_day for market_day in days if word in _names(market_day)]
    if named:
        return named[0]
    known = [market_day.market.key for market_day in days]
    guess = nearest(name, known)
    raise NoMarketError(
        f"No market to come is called {name!r}. "
        + (f"Did you mean {guess!r}?" if guess else f"There are: {', '.join(known)}.")
    )


def _names(day: MarketDay) -> tuple[str, str]:
    return day.market.key.casefold(), day.market.name.casefold()


def _lines(project: Path, day: MarketDay, calculated: StudioCalculation) -> Iterator[str]:
    theme, market, studio = calculated.theme, day.market, calculated.content.studio.studio
    phrasing = Phrasing.of(theme, studio)
    say, wording = phrasing.say, phrasing.wording
    date_words = wording.day(market.date)
    yield say(phrase("commands.market_title", name=market.name, day=date_words, hours=market.hours, place=market.place))
    yield ""
    if not day.carried:
        path = f"content/markets/{market.key}.csv"
        yield say(phrase("commands.market_no_list", path=path, columns="product,size,finish,glass,count,box"))
    else:
        what = load_text(day.count, day.mass_g, day.worth, phrasing)
        yield f"{theme.labels['market']['packing']}: {what}"
        for name, rows in day.boxes.items():
            words = theme.words("market", "box", box=name) if name else theme.labels["market"]["no_box"]
            yield f"  {words}: {sum(row.count for row in rows)}, {wording.load(sum(row.mass_g for row in rows))}"
            for row in rows:
                yield f"  {row.count:>4}  {row.calculation.product.keys.title}: {row.calculation.offer.words}"
        yield say(hung_phrase([line.calculation.offer.stall_price for line in day.carried]))
    yield ""
    for change in market.change:
        amounts = {"each": Money(change.each), "amount": Money(change.amount)}
        yield say(phrase("commands.market_float", count=change.count, **amounts))
    if market.change:
        yield say(phrase("commands.market_float_all", amount=Money(day.float_amount)))
        yield ""
    output = project / "site_output"
    yield say(phrase("commands.prices_of", day=day.priced))
    if day.carried:
        yield say(phrase("commands.print_private", path=str(output / "bench" / f"{address_of(day)}.pdf")))
    sheet = output / "bench" / price_sheet_of(day)
    yield say(phrase("commands.print_at", path=str(sheet if sheet.exists() else output / "stall" / "price_sheet.pdf")))
