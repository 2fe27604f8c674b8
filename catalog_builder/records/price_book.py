"""The price book: ``content/price_book.csv``, every price that was in force and when it came into force.

Rows are only ever added, by the maker's word. Each carries a seal over itself and the row before, so that a change
made later by hand can be told. A row without a seal was written by hand, and counts like any other.
"""

from __future__ import annotations

import csv
import hashlib
import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from pydantic import Field

from catalog_builder.mistake import Finding, Mistake, MistakeError
from catalog_builder.records.border import admit
from catalog_builder.records.source import Source
from catalog_builder.records.table import plain, read_table
from catalog_builder.records.values import Amount, Day, Line, Record

COLUMNS = ("date", "variant", "channel", "price", "times", "plus", "why", "made_of", "seal")


class BookKeys(Record):
    """A row of ``price_book.csv``: a price and the day from which it is in force."""

    date: Day = Field(description="the first day of this price")
    variant: Line = Field(description="the code of a variant, as the catalogue and the price list give it")
    channel: Line = Field(description="a channel of studio.toml")
    price: Amount = Field(description="what is printed")
    times: Amount = Field(Decimal(0), description="the channel's rule on that day: times the cost ...")
    plus: Amount = Field(Decimal(0), description="... plus this, then up to the price point")
    why: Line | None = Field(None, description="what the maker wrote beside it")
    made_of: str | None = Field(None, description="the lines of the cost on that day, quantity x price of one")
    seal: str | None = Field(None, description="a seal over this row and the one before; empty in rows written by hand")


@dataclass(frozen=True, slots=True)
class PriceBook:
    """The rows of the book in the order of the file; ``findings`` tell seals that are broken."""

    rows: tuple[BookKeys, ...]
    by_price: Mapping[tuple[str, str], tuple[BookKeys, ...]]
    findings: tuple[Finding, ...]
    text: str

    def history(self, variant: str, channel: str) -> tuple[BookKeys, ...]:
        """Give the rows of a variant in a channel in order of their dates; of one day, the last of the file."""
        return self.by_price.get((variant, channel), ())

    def last(self, variant: str, channel: str, day: date) -> BookKeys | None:
        """Give the row in force on a day: that of the latest date not after it."""
        return next((row for row in reversed(self.history(variant, channel)) if row.date <= day), None)

    def made_of(self, entry: BookKeys) -> str | None:
        """Give what the cost was made of on an entry's day: written once a day and variant, in any channel."""
        same = (row for row in self.rows if (row.date, row.variant) == (entry.date, entry.variant))
        return entry.made_of or next((row.made_of for row in same if row.made_of), None)

    def newest(self) -> date | None:
        """Give the latest date in the book."""
        return max((row.date for row in self.rows), default=None)


def read_price_book(source: Source | None) -> PriceBook:
    """Read the book; where there is no file, it is empty.

    Raises:
        MistakeError: a row is damaged or holds what cannot be; no row is passed over.
    """
    if source is None or not source.text.strip():
        return PriceBook((), {}, (), "")
    table = read_table(source, set(COLUMNS), {"date", "variant", "channel", "price"})
    kinds = {"date": "date", "price": "number", "times": "number", "plus": "number"}
    mistakes: list[Mistake] = []
    rows: list[BookKeys] = []
    findings: list[Finding] = []
    before = ""
    for row in table.rows:
        try:
            keys = admit(BookKeys, plain(table, row, kinds), source, lambda _, line=row.line: line)  # type: ignore[misc]
        except MistakeError as fault:
            mistakes.extend(fault.mistakes)
            continue
        rows.append(keys)
        if keys.seal is not None:
            if keys.seal != seal(before, keys):
                findings.append(
                    Finding(
                        code="B04",
                        place=source.place(row.line),
                        text=f"the row of {keys.variant} in {keys.channel} from {keys.date}, or the one before it, "
                        "was changed after it was written",
                        advice="the row counts as it stands; restore it from a copy if the change was not meant",
                    )
                )
            before = keys.seal
    if mistakes:
        raise MistakeError(mistakes)
    return PriceBook(tuple(rows), _by_price(rows), tuple(findings), source.text)


def _by_price(rows: Sequence[BookKeys]) -> dict[tuple[str, str], tuple[BookKeys, ...]]:
    days: dict[tuple[str, str], dict[date, BookKeys]] = {}
    for row in rows:
        days.setdefault((row.variant, row.channel), {})[row.date] = row
    return {key: tuple(found[day] for day in sorted(found)) for key, found in days.items()}


def seal(before: str, row: BookKeys) -> str:
    """Give the seal of a row: twelve digits of the SHA-256 of the seal before and the row's own cells."""
    cells = [before, *cells_of(row)[:-1]]
    return hashlib.sha256("\x1f".join(cells).encode()).hexdigest()[:12]


def cells_of(row: BookKeys) -> list[str]:
    """Give a row's cells as they are written."""
    return [
        row.date.isoformat(),
        row.variant,
        row.channel,
        f"{row.price:f}",
        f"{row.times:f}",
        f"{row.plus:f}",
        row.why or "",
        row.made_of or "",
        row.seal or "",
    ]


def appended(book: PriceBook, rows: Iterable[BookKeys]) -> str:
    """Give the book's text with rows added and sealed. What stood there stands unchanged, byte for byte."""
    text = book.text if book.text.endswith("\n") or not book.text else book.text + "\n"
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    if not text.strip():
        text = ""
        writer.writerow(COLUMNS)
    before = next((row.seal for row in reversed(book.rows) if row.seal), "")
    for row in rows:
        before = seal(before or "", row)
        writer.writerow([*cells_of(row)[:-1], before])
    return text + out.getvalue()


def written_lines(lines: Sequence[tuple[str, Decimal, str, Decimal]]) -> str:
    """Write the lines of a cost as one text: ``key quantity unit x price of one``, parted by semicolons."""
    return "; ".join(f"{key} {_short(quantity)} {unit} x {_short(price)}" for key, quantity, unit, price in lines)


def read_lines(text: str) -> dict[str, tuple[Decimal, Decimal]]:
    """Read such a text as quantity and price of one, by key. What cannot be read is left out."""
    lines = {}
    for part in text.split(";"):
        words = part.split()
        if len(words) == 5 and words[3] == "x":
            try:
                lines[words[0]] = (Decimal(words[1]), Decimal(words[4]))
            except ArithmeticError:
                continue
    return lines


def _short(number: Decimal) -> str:
    text = f"{number:.8f}".rstrip("0").rstrip(".")
    return text or "0"
