"""What lies ready to send: counted in ``content/ready.csv``, with what was made since and without what sold since."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from pydantic import Field

from catalog_builder.records.bench_log import BenchLog
from catalog_builder.records.product import Product
from catalog_builder.records.reading.entries import read_entries
from catalog_builder.records.reading.values import Day, Line
from catalog_builder.records.selling.market_book import Sale
from catalog_builder.records.variant import Variant, VariantKeys, read_variants


class ReadyKeys(VariantKeys):
    """A row of ``ready.csv``: so many of a variant lay ready at the end of a day."""

    date: Day = Field(description="the day of the count; what sold or was made on it is in the count already")
    count: int = Field(ge=0, le=10_000, description="how many lay ready to send; 0 where there was none")
    note: Line | None = Field(None, description="for the maker")


@dataclass(frozen=True, slots=True)
class ReadyCount:
    """So many of a variant that lay ready at the end of a day."""

    day: date
    variant: Variant
    count: int


@dataclass(frozen=True, slots=True)
class ReadyPieces:
    """How many lie ready of each variant that is counted, none below 0; and by how many more sold than there were."""

    counts: Mapping[Variant, int]
    oversold: Mapping[Variant, int]


NOTHING_COUNTED = ReadyPieces({}, {})


def read_ready_counts(project: Path, products: Mapping[str, Product]) -> tuple[ReadyCount, ...]:
    """Read the table, which may be missing.

    Raises:
        MistakeError: with every row that is wrong, or counts a variant twice on a day.
    """
    entries = read_entries(project, project / "content" / "ready.csv", ReadyKeys, {"date": "date", "count": "number"})
    again = "keep the count that is right"
    rows = read_variants(entries, products, lambda row: row.date, "the count of this variant and day", again)
    entries.mistakes.raise_if_any()
    return tuple(ReadyCount(row.date, variant, row.count) for row, variant in rows)


def ready_pieces(counts: Iterable[ReadyCount], log: BenchLog, sales: Iterable[Sale], day: date) -> ReadyPieces:
    """Give what lies ready at the end of a day.

    The last count not after the day stands. What lay ready from a batch after it is added, what sold after it is taken
    off. A variant that was never counted begins with its first batch.
    """
    last: dict[Variant, ReadyCount] = {}
    for row in sorted((row for row in counts if row.day <= day), key=lambda row: row.day):
        last[row.variant] = row
    left = {variant: row.count for variant, row in last.items()}
    for lot in (lot for lots in log.batches.values() for lot in lots):
        if lot.ready_on is not None and _after(last, lot.variant) < lot.ready_on <= day:
            left[lot.variant] = left.get(lot.variant, 0) + lot.count
    for sale in sales:
        # A market that lasts for days sells from its first day on; a count during it is one of the day before.
        if sale.variant in left and sale.first_day <= day and sale.last_day > _after(last, sale.variant):
            left[sale.variant] -= sale.count
    return ReadyPieces(
        {variant: max(count, 0) for variant, count in left.items()},
        {variant: -count for variant, count in left.items() if count < 0},
    )


def _after(last: Mapping[Variant, ReadyCount], variant: Variant) -> date:
    return last[variant].day if variant in last else date.min
