"""A quote for a commission, ``content/quotes/<name>.toml``: for whom, what is made, and its terms. Private."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from pydantic import Field

from catalog_builder.mistake import MistakeError, Mistakes, Place, listed, quoted, suggestion
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product
from catalog_builder.records.reading.file import files_in
from catalog_builder.records.reading.source import Source, read
from catalog_builder.records.reading.toml import key_line, read_toml
from catalog_builder.records.reading.validation import validate
from catalog_builder.records.reading.values import Amount, Day, Line, Name, Record, stands_in_addresses
from catalog_builder.records.selling.quoted_item import ItemPlace, QuotedItem, QuotedKeys, QuoteTables, read_item
from catalog_builder.records.studio import Studio

MOST_QUOTES = 500


class QuoteKeys(Record):
    """A quote for a commission."""

    buyer: Line = Field(description="whom it is for, as the quote says")
    contact: Line | None = Field(None, description="the buyer's address, as the quote says")
    dated: Day = Field(description="the day it was made: its prices are those of that day, whenever it is printed")
    until: Day = Field(description="the last day on which it holds")
    channel: Name | None = Field(None, description="whose prices and tax it has; without it, those of the catalogue")
    deposit_percent: Amount = Field(
        Decimal(0), le=100, description="the share of the total, tax included, that is paid before work begins"
    )
    ready_by: Day | None = Field(None, description="the day it will be ready")
    delivery: Line | None = Field(None, description="how it comes to the buyer")
    carriage: Amount = Field(
        Decimal(0), description="what delivery costs, with or without tax as the channel prints it"
    )
    terms: Line | None = Field(None, description="what else is agreed: payment, changes, cancelling")
    items: tuple[QuotedKeys, ...] = Field(min_length=1, max_length=20, description="what is quoted for")


@dataclass(frozen=True, slots=True)
class Quote:
    """A quote: its file's name, its keys, and its items in the order of the file. ``channel`` is filled in."""

    name: str
    keys: QuoteKeys
    channel: str
    items: tuple[QuotedItem, ...]
    source: Source


def read_quotes(
    project: Path, studio: Studio, materials: Materials, products: Mapping[str, Product]
) -> tuple[Quote, ...]:
    """Read every quote of a project, in the order of their names; there may be none.

    Raises:
        MistakeError: with everything that is wrong in them, also names that no record or table has.
    """
    paths = files_in(project, project / "content" / "quotes", ".toml")
    if len(paths) > MOST_QUOTES:
        place, mend = Place(path="content/quotes"), "move those of long ago out of the folder"
        wrong = f"there are {len(paths)} quotes"
        raise MistakeError.at(place, wrong=wrong, expected=f"up to {MOST_QUOTES}", mend=mend)
    mistakes, tables = Mistakes(), QuoteTables(project, studio, materials, products)
    quotes = [quote for path in paths if (quote := mistakes.attempt(read_quote, path, tables)) is not None]
    mistakes.raise_if_any()
    return tuple(quotes)


def read_quote(path: Path, tables: QuoteTables) -> Quote:
    """Read a quote.

    Raises:
        MistakeError: with everything that is wrong in it.
    """
    source = read(tables.project, path)
    if not stands_in_addresses(path.stem):
        raise MistakeError.at(
            source.place(),
            wrong=f"the file's name {quoted(path.name)} cannot be used for a folder of papers",
            expected="lower-case letters a to z, digits and single hyphens, then .toml",
            mend="rename the file, such as `hall-window.toml`",
        )
    keys = validate(QuoteKeys, read_toml(source), source, lambda key: key_line(source.text, key))
    mistakes = Mistakes()
    _check_days(keys, source, mistakes)
    channel = keys.channel or tables.studio.channel_on("catalogue")
    if channel not in tables.studio.channels:
        mistakes.add(
            source.place(key_line(source.text, ("channel",))),
            wrong=f"the channel {quoted(channel)} is not in studio.toml",
            expected=f"one of: {listed(tables.studio.channels)}",
            mend=suggestion(channel, tables.studio.channels, "correct the name, or take the line out"),
            marked=channel,
        )
    items = []
    for index, item in enumerate(keys.items):
        with mistakes.collect():
            items.append(read_item(item, ItemPlace(path.stem, index, keys.dated), source, tables))
    mistakes.raise_if_any()
    return Quote(path.stem, keys, channel, tuple(items), source)


def _check_days(keys: QuoteKeys, source: Source, mistakes: Mistakes) -> None:
    if keys.until < keys.dated:
        mistakes.add(
            source.place(key_line(source.text, ("until",))),
            wrong=f"the quote holds until {keys.until}, which was past on {keys.dated} when it was made",
            expected="`until` on or after `dated`",
            mend="check the two dates",
            marked=str(keys.until),
        )
    if keys.ready_by is not None and keys.ready_by < keys.dated:
        mistakes.add(
            source.place(key_line(source.text, ("ready_by",))),
            wrong=f"it is to be ready on {keys.ready_by}, before the quote was made on {keys.dated}",
            expected="`ready_by` after `dated`",
            mend="check the two dates",
            marked=str(keys.ready_by),
        )
