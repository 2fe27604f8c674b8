"""A shop's order: ``content/orders/NAME.csv``, codes and counts, and ``NAME.toml``, who ordered and when. Private."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from pydantic import Field

from catalog_builder.mistake import MistakeError, Mistakes, Place, no_such_record, quoted
from catalog_builder.records.reading.entries import TableEntry, read_entries
from catalog_builder.records.reading.file import files_in, is_there
from catalog_builder.records.reading.source import Source, read
from catalog_builder.records.reading.toml import key_line, read_toml
from catalog_builder.records.reading.validation import validate
from catalog_builder.records.reading.values import Amount, Day, Line, Record, stands_in_addresses


class OrderedKeys(Record):
    """A row of an order. The other columns of the trade list may stay in the file; they are not read."""

    code: Line = Field(description="the code of a variant, as on the trade list")
    count: int | None = Field(None, ge=0, le=10_000, description="how many are ordered; 0 or empty: none")
    price: Amount | None = Field(None, description="the trade price that the shop read: told if it is another now")
    title: Line | None = Field(None, description="not read")
    size: Line | None = Field(None, description="not read")
    finish: Line | None = Field(None, description="not read")
    glass: Line | None = Field(None, description="not read")
    retail: Line | None = Field(None, description="not read")


class OrderKeys(Record):
    """Who ordered, and when."""

    buyer: Line = Field(description="the shop, as the confirmation says")
    contact: Line | None = Field(None, description="its address, as the confirmation says")
    dated: Day = Field(description="the day of the order: its prices are those of that day")
    reference: Line | None = Field(None, description="the shop's own number for it")
    first: bool = Field(False, description="true: it is the shop's first order, for which `least_first_order` counts")
    ready_by: Day | None = Field(
        None, description="the day it is sent; without it, `dated` and the lead_days of the channel for shops"
    )
    carriage: Amount = Field(Decimal(0), description="what sending costs, with or without tax as the channel prints it")
    terms: Line | None = Field(None, description="in place of the terms of the channel for shops")


@dataclass(frozen=True, slots=True)
class ShopOrder:
    """An order: its files' name, who ordered, and the rows that order something, each with its line in ``source``."""

    name: str
    keys: OrderKeys
    rows: tuple[TableEntry[OrderedKeys], ...]
    source: Source

    @property
    def pieces(self) -> int:
        """How many pieces are ordered in all."""
        return sum(row.keys.count or 0 for row in self.rows)


def read_order(project: Path, name: str) -> ShopOrder:
    """Read an order by its files' name.

    Raises:
        MistakeError: there is none of that name, or with everything that is wrong in its two files.
    """
    folder = project / "content" / "orders"
    names = [path.stem for path in files_in(project, folder, ".csv")]
    if name not in names:
        raise no_such_record("order", name, names, "content/orders/spring-shop.csv")
    mistakes = Mistakes()
    if not stands_in_addresses(name):
        mistakes.add(
            Place(path=f"content/orders/{name}.csv"),
            wrong=f"the file's name {quoted(name)} cannot be used for a folder of papers",
            expected="lower-case letters a to z, digits and single hyphens, then .csv",
            mend="rename both files, such as `spring-shop.csv` and `spring-shop.toml`",
        )
    who = mistakes.attempt(_read_keys, project, folder / f"{name}.toml")
    entries = read_entries(project, folder / f"{name}.csv", OrderedKeys, {"count": "number", "price": "number"})
    entries.refuse_doubles(lambda row: row.code, "this code", "add the two counts up in one row")
    if not entries.mistakes and not any(row.keys.count for row in entries.rows):
        entries.mistakes.add(
            entries.source.place(),
            wrong="nothing is ordered",
            expected="a row with a code and a count above 0",
            mend="fill in the column `count`",
        )
    mistakes = Mistakes([*mistakes, *entries.mistakes])
    if mistakes or who is None:
        raise MistakeError(mistakes)
    rows = tuple(row for row in entries.rows if row.keys.count)
    return ShopOrder(name, who, rows, entries.source)


def _read_keys(project: Path, path: Path) -> OrderKeys:
    if not is_there(path):
        raise MistakeError.at(
            Place(path=path.relative_to(project).as_posix()),
            wrong="the file is missing, which says who ordered and when",
            expected="a file beside the table, with `buyer` and `dated`",
            mend="write it; `catalog-builder guide trade` has an example",
        )
    source = read(project, path)
    return validate(OrderKeys, read_toml(source), source, lambda key: key_line(source.text, key))
