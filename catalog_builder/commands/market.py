"""The command ``market``: everything for the next market, published and told in one go."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

from catalog_builder.build import Progress, StudioCalculation, calculate_and_publish
from catalog_builder.mistake import nearest
from catalog_builder.planning.market_preparation import MarketDay, market_days
from catalog_builder.publish.bench.market_papers import address_of, load_text
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording


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
        chosen.append(_chosen(market_days(calculated.content, calculated.calculations), name, day))

    calculated, _ = calculate_and_publish(project, day, workers, progress, choose)
    return tuple(_lines(project, chosen[0], calculated))


def _chosen(days: tuple[MarketDay, ...], name: str | None, day: date) -> MarketDay:
    if not days:
        raise NoMarketError(f"studio.toml has no market on {day} or later.")
    if name is None:
        return days[0]
    word = name.casefold()
    found = [one for one in days if word in (one.market.key.casefold(), one.market.name.casefold())]
    if found:
        return found[0]
    known = [one.market.key for one in days]
    guess = nearest(name, known)
    raise NoMarketError(
        f"No market to come is called {name!r}. "
        + (f"Did you mean {guess!r}?" if guess else f"There are: {', '.join(known)}.")
    )


def _lines(project: Path, one: MarketDay, calculated: StudioCalculation) -> Iterator[str]:
    content, theme = calculated.content, calculated.theme
    wording, market = Wording.of(content.studio.studio), one.market
    yield f"{market.name}, {wording.day(market.date)}, {market.hours}. {market.place}."
    yield ""
    if not one.carried:
        yield f"Nothing is on its packing list yet. Write content/markets/{market.key}.csv with the columns"
        yield "product,size,finish,glass,count,box, and run this again."
    else:
        yield f"Pack  {load_text(one.count, one.mass_g, one.worth, Phrasing(theme.labels, wording))}"
        for name, rows in one.boxes.items():
            words = theme.words("market", "box", box=name) if name else theme.labels["market"]["no_box"]
            yield f"  {words}: {sum(row.count for row in rows)}, {wording.load(sum(row.mass_g for row in rows))}"
            for row in rows:
                yield f"  {row.count:>4}  {row.calculation.product.keys.title}: {row.calculation.offer.words}"
    yield ""
    for change in market.change:
        yield f"Float {change.count:>3} x {wording.money(change.each):>7} = {wording.money(change.amount):>9}"
    if market.change:
        yield f"Float in all    {wording.money(one.float_amount):>9}"
        yield ""
    output = project / "site_output"
    if one.carried:
        yield f"Print {output / 'bench' / f'{address_of(one)}.pdf'}  (private)"
    yield f"{'     ' if one.carried else 'Print'} {output / 'stall' / 'price_sheet.pdf'}"
