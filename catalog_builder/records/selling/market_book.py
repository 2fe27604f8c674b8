"""What is taken to markets and what sold there: ``content/markets/NAME.csv`` and ``content/sales.csv``. Private."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from pydantic import Field

from catalog_builder.mistake import MistakeError, Mistakes, Place, listed, quoted, suggestion
from catalog_builder.records.product import Product
from catalog_builder.records.reading.entries import read_entries
from catalog_builder.records.reading.file import files_in
from catalog_builder.records.reading.values import Amount, Day, Line
from catalog_builder.records.selling.market_date import Market
from catalog_builder.records.variant import Variant, VariantKeys, read_variants

MOST_LISTS = 500


class BringKeys(VariantKeys):
    """A row of a market's packing list: so many of a variant."""

    count: int = Field(ge=0, le=500, description="how many are brought; a row of 0 brings none")
    box: Line | None = Field(None, description="the box it travels in, as the maker numbers or names boxes")


class SaleKeys(VariantKeys):
    """A row of ``sales.csv``: so many of a variant that sold at a market, or elsewhere on a day, at a price."""

    market: Line | None = Field(
        None, description="the code of a market in studio.toml, or its first day where it has none"
    )
    date: Day | None = Field(None, description="in place of a market: the day of a sale elsewhere, such as by mail")
    count: int = Field(ge=0, le=10_000, description="how many sold at this price; a row of 0 counts for nothing")
    price: Amount = Field(description="what the buyer was asked for one, tax as on the price sheet")


@dataclass(frozen=True, slots=True)
class Brought:
    """So many of a variant on a packing list. ``box`` is empty where none is named."""

    variant: Variant
    count: int
    box: str


@dataclass(frozen=True, slots=True)
class Sale:
    """So many of a variant, sold at a price of one; ``market`` is empty for a sale elsewhere."""

    market: str
    variant: Variant
    count: int
    price: Decimal
    first_day: date
    last_day: date


@dataclass(frozen=True, slots=True)
class MarketBook:
    """Packing lists by the market's code, and every sale; rows of 0 are in neither."""

    lists: Mapping[str, tuple[Brought, ...]]
    sales: tuple[Sale, ...]

    @property
    def sold_at_markets(self) -> tuple[Sale, ...]:
        """The sales at markets."""
        return tuple(sale for sale in self.sales if sale.market)


def read_market_book(project: Path, markets: Collection[Market], products: Mapping[str, Product]) -> MarketBook:
    """Read every packing list and the sales, any of which may be missing.

    Raises:
        MistakeError: with every row that is wrong, and every market that studio.toml does not have.
    """
    known = {market.key: market for market in markets}
    paths = files_in(project, project / "content" / "markets", ".csv")
    mistakes = Mistakes()
    lists: dict[str, tuple[Brought, ...]] = {}
    if len(paths) > MOST_LISTS:
        wrong, mend = f"there are {len(paths)} packing lists", "take those of long ago out of the folder"
        place = Place(path="content/markets")
        raise MistakeError.at(place, wrong=wrong, expected=f"up to {MOST_LISTS} lists", mend=mend)
    for path in paths:
        place = Place(path=path.relative_to(project).as_posix())
        _check_market(path.stem, known, place, "give the file a market's code for a name", mistakes)
        with mistakes.collect():
            lists[path.stem] = _read_list(project, path, products)
    sales = mistakes.attempt(_read_sales, project, known, products) or ()
    mistakes.raise_if_any()
    return MarketBook(lists, sales)


def _read_list(project: Path, path: Path, products: Mapping[str, Product]) -> tuple[Brought, ...]:
    entries = read_entries(project, path, BringKeys, {"count": "number"})
    again = "add the two counts up in one row"
    variants = read_variants(entries, products, lambda row: row.box, "this variant in this box", again)
    entries.mistakes.raise_if_any()
    return tuple(Brought(variant, row.count, row.box or "") for row, variant in variants if row.count)


def _read_sales(project: Path, markets: Mapping[str, Market], products: Mapping[str, Product]) -> tuple[Sale, ...]:
    kinds = {"count": "number", "price": "number", "date": "date"}
    entries = read_entries(project, project / "content" / "sales.csv", SaleKeys, kinds)
    for entry in entries.rows:
        place, market = entries.source.place(entry.line), entry.keys.market
        if market is not None:
            _check_market(market, markets, place, "add the market to studio.toml", entries.mistakes)
        if (market is None) == (entry.keys.date is None):
            entries.mistakes.add(
                place,
                wrong="the sale has no market and no date" if market is None else "the sale has a market and a date",
                expected="the code of a market, or the day of a sale elsewhere",
                mend="fill in one of the two" if market is None else "leave one of the two empty",
            )
    variants = read_variants(
        entries,
        products,
        lambda row: (row.market, row.date, row.price),
        "this variant at this market or day and price",
        "add the two counts up in one row, or take the second out",
    )
    entries.mistakes.raise_if_any()
    return tuple(_sale(row, variant, markets) for row, variant in variants if row.count)


def _sale(row: SaleKeys, variant: Variant, markets: Mapping[str, Market]) -> Sale:
    if row.market is None:
        day = row.date or date.min
        return Sale("", variant, row.count, row.price, day, day)
    market = markets[row.market]
    return Sale(row.market, variant, row.count, row.price, market.date, market.until or market.date)


def _check_market(name: str, known: Collection[str], place: Place, mend: str, mistakes: Mistakes) -> None:
    if name not in known:
        mistakes.add(
            place,
            wrong=f"the market {quoted(name)} is not in studio.toml",
            expected=f"the code or first day of a market: {listed(known) or 'there is none'}",
            mend=suggestion(name, known, mend),
            marked=name,
        )
