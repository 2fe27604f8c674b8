"""What is taken to markets and what sold there: ``content/markets/NAME.csv`` and ``content/sales.csv``. Private."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from pydantic import Field

from catalog_builder.mistake import Mistake, MistakeError, Place, listed, nearest, quoted
from catalog_builder.records.product import Product
from catalog_builder.records.reading.entries import read_entries
from catalog_builder.records.reading.file import files_in
from catalog_builder.records.reading.source import Source
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
    folder = project / "content" / "markets"
    # Editors and spreadsheets keep files of their own, whose names begin with a point or end in a tilde.
    paths = files_in(project, folder, ".csv")
    mistakes: list[Mistake] = []
    lists: dict[str, tuple[Brought, ...]] = {}
    if len(paths) > MOST_LISTS:
        place, most = Source("content/markets", "").place(), f"up to {MOST_LISTS} lists"
        wrong, mend = f"there are {len(paths)} packing lists", "take those of long ago out of the folder"
        raise MistakeError([Mistake(place=place, wrong=wrong, expected=most, mend=mend)])
    for path in paths:
        if path.stem not in known:
            place = Source(path.relative_to(project).as_posix(), "").place()
            mistakes.append(_unknown(path.stem, known, place, "give the file a market's code for a name"))
        try:
            lists[path.stem] = _read_list(project, path, products)
        except MistakeError as fault:
            mistakes.extend(fault.mistakes)
    try:
        sales = _read_sales(project, known, products)
    except MistakeError as fault:
        mistakes.extend(fault.mistakes)
    if mistakes:
        raise MistakeError(mistakes)
    return MarketBook(lists, sales)


def _read_list(project: Path, path: Path, products: Mapping[str, Product]) -> tuple[Brought, ...]:
    entries = read_entries(project, path, BringKeys, {"count": "number"})
    again = "add the two counts up in one row"
    found = read_variants(entries, products, lambda one: one.box, "this variant in this box", again)
    if entries.mistakes:
        raise MistakeError(entries.mistakes)
    return tuple(Brought(variant, keys.count, keys.box or "") for keys, variant in found)


def _read_sales(project: Path, markets: set[str], products: Mapping[str, Product]) -> tuple[Sale, ...]:
    entries = read_entries(project, project / "content" / "sales.csv", SaleKeys, {"count": "number", "price": "number"})
    for entry in entries.rows:
        if entry.keys.market not in markets:
            place = entries.source.place(entry.line)
            entries.mistakes.append(_unknown(entry.keys.market, markets, place, "add the market to studio.toml"))
    found = read_variants(
        entries,
        products,
        lambda one: (one.market, one.price),
        "this variant at this market and price",
        "add the two counts up in one row, or take the second out",
    )
    if entries.mistakes:
        raise MistakeError(entries.mistakes)
    return tuple(Sale(keys.market, variant, keys.count, keys.price) for keys, variant in found)


def _unknown(name: str, known: set[str], place: Place, mend: str) -> Mistake:
    guess = nearest(name, known)
    return Mistake(
        place=place,
        wrong=f"the market {quoted(name)} is not in studio.toml",
        expected=f"the code or first day of a market: {listed(known) or 'there is none'}",
        mend=f"did you mean {guess!r}?" if guess else mend,
        marked=name,
    )
