"""What is taken to markets and what sold there: ``content/markets/NAME.csv`` and ``content/sales.csv``. Private."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from pydantic import Field

from catalog_builder.mistake import MistakeError, Mistakes, Place, listed, quoted, suggestion
from catalog_builder.records.product import Product
from catalog_builder.records.reading.entries import read_entries
from catalog_builder.records.reading.file import files_in
from catalog_builder.records.reading.values import Amount, Line
from catalog_builder.records.selling.market_date import Market
from catalog_builder.records.variant import Variant, VariantKeys, read_variants

MOST_LISTS = 500


class BringKeys(VariantKeys):
    """A row of a market's packing list: so many of a variant."""

    count: int = Field(ge=1, le=500, description="how many are brought")
    box: Line | None = Field(None, description="the box it travels in, as the maker numbers or names boxes")


class SaleKeys(VariantKeys):
    """A row of ``sales.csv``: so many of a variant that sold at a market at a price."""

    market: Line = Field(description="the code of a market in studio.toml, or its first day where it has none")
    count: int = Field(ge=1, le=10_000, description="how many sold at this price")
    price: Amount = Field(description="what the buyer was asked for one, tax as on the price sheet")


@dataclass(frozen=True, slots=True)
class Brought:
    """So many of a variant on a packing list. ``box`` is empty where none is named."""

    variant: Variant
    count: int
    box: str


@dataclass(frozen=True, slots=True)
class Sale:
    """So many of a variant, sold at a market at a price of one."""

    market: str
    variant: Variant
    count: int
    price: Decimal


@dataclass(frozen=True, slots=True)
class MarketBook:
    """Packing lists by the market's code, and every sale."""

    lists: Mapping[str, tuple[Brought, ...]]
    sales: tuple[Sale, ...]


def read_market_book(project: Path, markets: Collection[Market], products: Mapping[str, Product]) -> MarketBook:
    """Read every packing list and the sales, any of which may be missing.

    Raises:
        MistakeError: with every row that is wrong, and every market that studio.toml does not have.
    """
    known = {market.key for market in markets}
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
    return tuple(Brought(variant, row.count, row.box or "") for row, variant in variants)


def _read_sales(project: Path, markets: set[str], products: Mapping[str, Product]) -> tuple[Sale, ...]:
    entries = read_entries(project, project / "content" / "sales.csv", SaleKeys, {"count": "number", "price": "number"})
    for entry in entries.rows:
        place = entries.source.place(entry.line)
        _check_market(entry.keys.market, markets, place, "add the market to studio.toml", entries.mistakes)
    variants = read_variants(
        entries,
        products,
        lambda row: (row.market, row.price),
        "this variant at this market and price",
        "add the two counts up in one row, or take the second out",
    )
    entries.mistakes.raise_if_any()
    return tuple(Sale(row.market, variant, row.count, row.price) for row, variant in variants)


def _check_market(name: str, known: set[str], place: Place, mend: str, mistakes: Mistakes) -> None:
    if name not in known:
        mistakes.add(
            place,
            wrong=f"the market {quoted(name)} is not in studio.toml",
            expected=f"the code or first day of a market: {listed(known) or 'there is none'}",
            mend=suggestion(name, known, mend),
            marked=name,
        )
