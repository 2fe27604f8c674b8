"""The command ``market``: everything for the next market, published and listed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import astuple
from datetime import date
from pathlib import Path

from catalog_builder.build import calculate_and_publish, read
from catalog_builder.cache.atomic_file import replace_file
from catalog_builder.mistake import nearest
from catalog_builder.phrase import Money, phrase
from catalog_builder.planning.market_preparation import MarketDay, market_days
from catalog_builder.planning.packing_proposal import propose_packing
from catalog_builder.publish.bench.costs.price_notes import hung_phrase
from catalog_builder.publish.bench.market_papers import address_of, load_text, price_sheet_of
from catalog_builder.publish.pictures.gallery import Pictures
from catalog_builder.publish.studio_calculation import Progress, StudioCalculation
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.records.selling.market_date import Market, coming


class NoMarketError(Exception):
    """There is no market to come, none of the name that was asked for, or its list is there already."""


def propose(project: Path, day: date, name: str | None) -> tuple[str, ...]:
    """Write a market's packing list from what lies ready, and say so; a list that is there is never written over.

    Raises:
        MistakeError: the records have mistakes; nothing is written.
        NoMarketError: there is no such market, or it has a list.
    """
    content, theme = read(project, day)
    say = Phrasing.of(theme, content.studio.studio).say
    market = _named(coming(content.studio.markets, day), name, day)
    path = project / "content" / "markets" / f"{market.key}.csv"
    shown = path.relative_to(project).as_posix()
    if path.exists():
        raise NoMarketError(f"{shown} is there already. Rename it or move it away to have a new one proposed.")
    for_sale = {product.slug for product in content.products if product.keys.availability != "sold"}
    ready = {variant: count for variant, count in content.ready.counts.items() if variant.product in for_sale}
    proposal = propose_packing(ready, content.market_book)
    if not proposal.pieces:
        return (say(phrase("ready.none_to_propose")),)
    path.parent.mkdir(exist_ok=True)
    replace_file(path, proposal.text().encode())
    lines = [say(phrase("ready.proposed", path=shown, count=proposal.pieces))]
    if proposal.sold_out:
        lines.append(say(phrase("ready.sold_out", count=len(proposal.sold_out))))
        lines += ["  " + ", ".join(word for word in astuple(variant) if word) for variant in proposal.sold_out]
    return tuple(lines)


def prepare(project: Path, day: date, name: str | None, workers: int, progress: Progress) -> tuple[str, ...]:
    """Publish all, and say what to print, what to pack and where the papers lie.

    ``name`` is the code or the name of a market to come; without one it is the next.

    Raises:
        MistakeError: the records have mistakes; nothing is published.
        NoMarketError: there is no such market; nothing is published.
    """
    chosen: list[MarketDay] = []

    def choose(calculated: StudioCalculation, _: Mapping[str, Pictures]) -> None:
        content = calculated.content
        days = market_days(content.price_records, content.market_book.lists, calculated.calculations)
        market = _named([each.market for each in days], name, day)
        chosen.append(next(each for each in days if each.market is market))

    calculated, _ = calculate_and_publish(project, day, workers, progress, choose)
    return tuple(_lines(project, chosen[0], calculated.phrasing))


def _named(markets: Sequence[Market], name: str | None, day: date) -> Market:
    if not markets:
        raise NoMarketError(f"studio.toml has no market on {day} or later.")
    if name is None:
        return markets[0]
    word = name.casefold()
    named = [market for market in markets if word in (market.key.casefold(), market.name.casefold())]
    if named:
        return named[0]
    known = [market.key for market in markets]
    guess = nearest(name, known)
    raise NoMarketError(
        f"No market to come is called {name!r}. "
        + (f"Did you mean {guess!r}?" if guess else f"There are: {', '.join(known)}.")
    )


def _lines(project: Path, day: MarketDay, phrasing: Phrasing) -> Iterator[str]:
    market, say, wording = day.market, phrasing.say, phrasing.wording
    date_words = wording.day(market.date)
    yield say(phrase("commands.market_title", name=market.name, day=date_words, hours=market.hours, place=market.place))
    yield ""
    if not day.carried:
        path = f"content/markets/{market.key}.csv"
        yield say(phrase("commands.market_no_list", path=path, columns="product,size,finish,glass,count,box"))
    else:
        what = load_text(day.count, day.mass_g, day.worth, phrasing)
        yield f"{phrasing.labels['market']['packing']}: {what}"
        for name, rows in day.boxes.items():
            words = say(phrase("market.box", box=name) if name else phrase("market.no_box"))
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
