"""Reduced prices: ``content/reductions.csv``, each for a variant and a channel, from one day to another."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import pairwise
from itertools import product as every_pair
from pathlib import Path
from typing import Literal

from pydantic import Field

from catalog_builder.mistake import Place, listed, quoted, suggestion
from catalog_builder.records.product import Product
from catalog_builder.records.reading.entries import TableEntries, TableEntry, read_entries
from catalog_builder.records.reading.values import Amount, Day, Line, Percent
from catalog_builder.records.selling.channel import Channel
from catalog_builder.records.variant import Variant, VariantKeys, read_variant

Reason = Literal["sale", "second", "end of line"]
_KINDS = {
    **dict.fromkeys(("percent", "price", "earlier"), "number"),
    **dict.fromkeys(("first_day", "last_day"), "date"),
    "under_floor": "yes",
}


class ReductionKeys(VariantKeys):
    """A row of ``reductions.csv``: a lower price from one day to another. One of percent and price says how low."""

    size: Line | None = Field(None, description="a size of its record; empty: every size")
    finish: Line | None = Field(None, description="a finish of its record; empty: every finish")
    glass: Line | None = Field(None, description="a choice of its glass; empty: every choice")
    channel: Line | None = Field(None, description="a channel of studio.toml; empty: the catalogue's and the stall's")
    first_day: Day = Field(description="the first day of the lower price")
    last_day: Day = Field(description="the last day of the lower price")
    reason: Reason = Field(description="sale, second (a piece with a flaw) or end of line; buyers read it")
    percent: Percent | None = Field(None, gt=0, description="so much less than the lowest price of the 30 days before")
    price: Amount | None = Field(None, gt=0, description="in place of percent: what is printed")
    earlier: Amount | None = Field(
        None, gt=0, description="the lowest price of the 30 days before, for days that the price book does not have"
    )
    under_floor: bool = Field(False, description="yes: it may go under the floor price; without it, that is a mistake")
    note: Line | None = Field(None, description="what a buyer should know; of a second it must say what its flaw is")


@dataclass(frozen=True, slots=True)
class Reduction:
    """A lower price of a variant in a channel, and where it is written. One of ``percent`` and ``price`` is there."""

    variant: Variant
    channel: str
    first_day: date
    last_day: date
    reason: Reason
    percent: Decimal | None
    price: Decimal | None
    earlier: Decimal | None
    under_floor: bool
    note: str
    place: Place

    def holds_on(self, day: date) -> bool:
        """Whether it is in force on a day."""
        return self.first_day <= day <= self.last_day


@dataclass(frozen=True, slots=True)
class Reductions:
    """Every reduction of a variant in a channel, in the order of their days; no two overlap."""

    of: Mapping[tuple[Variant, str], tuple[Reduction, ...]]


NO_REDUCTIONS = Reductions({})


def read_reductions(
    project: Path, channels: Mapping[str, Channel], shown: Collection[str], products: Mapping[str, Product]
) -> Reductions:
    """Read the table, which may be missing; ``shown`` are the channels of a row that names none.

    Raises:
        MistakeError: with every row that is wrong, and those that overlap.
    """
    entries = read_entries(project, project / "content" / "reductions.csv", ReductionKeys, _KINDS)
    by_variant: dict[tuple[Variant, str], list[Reduction]] = {}
    for entry in entries.rows:
        with entries.mistakes.collect():
            _check_row(entry, entries, channels)
            names = [entry.keys.channel] if entry.keys.channel else list(shown)
            for variant, channel in every_pair(_variants(entry, entries, products), names):
                by_variant.setdefault((variant, channel), []).append(_reduction(entry, entries, variant, channel))
    ordered = {key: tuple(sorted(rows, key=lambda row: row.first_day)) for key, rows in by_variant.items()}
    _refuse_overlaps(ordered.values(), entries)
    entries.mistakes.raise_if_any()
    return Reductions(ordered)


def _reduction(
    entry: TableEntry[ReductionKeys], entries: TableEntries[ReductionKeys], variant: Variant, channel: str
) -> Reduction:
    keys = entry.keys
    return Reduction(
        variant, channel, keys.first_day, keys.last_day, keys.reason, keys.percent, keys.price, keys.earlier,
        keys.under_floor, keys.note or "", entries.source.place(entry.line),
    )  # fmt: skip


def _variants(
    entry: TableEntry[ReductionKeys], entries: TableEntries[ReductionKeys], products: Mapping[str, Product]
) -> Iterator[Variant]:
    """Give the variants of a row: an empty cell stands for all that its record has."""
    keys, product = entry.keys, products.get(entry.keys.product)
    sizes, finishes, choices = (
        (list(product.keys.sizes), list(product.keys.finishes), list(product.keys.glass)) if product else ([], [], [])
    )
    filled = {
        "size": keys.size or next(iter(sizes), None),
        "finish": keys.finish or next(iter(finishes), None),
        "glass": keys.glass or next(iter(choices), None),
    }
    # What is not in the record, or not among the products, is refused here as in every other table.
    read_variant(keys.model_copy(update=filled), products, entries.source, lambda _: entry.line)
    for size, finish, glass in every_pair(
        [keys.size] if keys.size else sizes or [""],
        [keys.finish] if keys.finish else finishes,
        [keys.glass] if keys.glass else choices,
    ):
        yield Variant(keys.product, size, finish, glass)


def _check_row(
    entry: TableEntry[ReductionKeys], entries: TableEntries[ReductionKeys], channels: Mapping[str, Channel]
) -> None:
    keys, place = entry.keys, entries.source.place(entry.line)
    if (keys.percent is None) == (keys.price is None):
        entries.mistakes.add(
            place,
            wrong="the reduction does not say in one way how low the price is",
            expected="one of percent and price",
            mend="fill in one of the two" if keys.percent is None else "leave one of the two empty",
        )
    if keys.last_day < keys.first_day:
        entries.mistakes.add(
            place,
            wrong=f"the reduction ends on {keys.last_day}, before it begins on {keys.first_day}",
            expected="`last_day` on or after `first_day`",
            mend="check the two dates",
        )
    if keys.channel is not None and keys.channel not in channels:
        entries.mistakes.add(
            place,
            wrong=f"the channel {quoted(keys.channel)} is not in studio.toml",
            expected=f"one of: {listed(channels)}",
            mend=suggestion(keys.channel, channels, "correct it, or leave the cell empty"),
            marked=keys.channel,
        )
    if keys.reason == "second" and keys.note is None:
        entries.mistakes.add(
            place,
            wrong="a second has no word on its flaw",
            expected="a note that tells a buyer what the flaw is",
            mend="write it under `note`, such as: a hairline scratch on one piece",
        )


def _refuse_overlaps(groups: Collection[Sequence[Reduction]], entries: TableEntries[ReductionKeys]) -> None:
    reported = set[tuple[int | None, int | None]]()
    for rows in groups:
        for before, row in pairwise(rows):
            lines = (before.place.line, row.place.line)
            if row.first_day <= before.last_day and lines not in reported:
                reported.add(lines)
                entries.mistakes.add(
                    row.place,
                    wrong=f"two reductions of one variant overlap (the other is on line {before.place.line})",
                    expected="one reduction of a variant at a time in a channel",
                    mend="let the first end on the day before the second begins",
                )
