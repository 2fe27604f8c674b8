"""The price book: ``content/price_book.csv``, every price that was in force and when it came into force.

Rows are only added, and only when the maker asks for it. Each carries a seal over itself and the row before, which
shows a change that was made later by hand. A row without a seal was written by hand, and counts like any other.
"""

from __future__ import annotations

import csv
import hashlib
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from pydantic import Field

from catalog_builder.mistake import Finding, Mistakes
from catalog_builder.phrase import Value
from catalog_builder.records.reading.entries import TableEntry, validated_rows
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.table import Table, read_table
from catalog_builder.records.reading.values import Amount, Day, Line, Record

# No row is ever taken out of the book, so that it may be larger than other files.
MOST_BOOK_BYTES = 100_000_000
MOST_BOOK_ROWS = 1_000_000
COLUMNS = ("date", "variant", "channel", "price", "times", "plus", "why", "made_of", "seal")
NUMBERS = ("price", "times", "plus")
_LETTERS = str.maketrans("0123456789", "ghijklmnop")


class BookKeys(Record):
    """A row of ``price_book.csv``: a price and the day from which it is in force."""

    date: Day = Field(description="the first day of this price")
    variant: Line = Field(description="the code of a variant, as the catalogue and the price list give it")
    channel: Line = Field(description="a channel of studio.toml")
    price: Amount = Field(gt=0, description="what is printed")
    times: Amount = Field(Decimal(0), description="the channel's rule on that day: times the cost ...")
    plus: Amount = Field(Decimal(0), description="... plus this, then up to the price point")
    why: Line | None = Field(None, description="what the maker wrote beside it")
    made_of: str | None = Field(None, description="the lines of the cost on that day, quantity x price of one")
    seal: str | None = Field(None, description="a seal over this row and the one before; empty in rows written by hand")


@dataclass(frozen=True, slots=True)
class BookFormat:
    """How the book is written, by this program or by a spreadsheet: the separator of its cells, and its columns."""

    separator: str = ","
    columns: tuple[str, ...] = COLUMNS
    decimal_comma: bool = False

    @property
    def missing(self) -> tuple[str, ...]:
        """The columns that are not in the book."""
        return tuple(column for column in COLUMNS if column not in self.columns)


@dataclass(frozen=True, slots=True)
class PriceBook:
    """The rows of the book in the order of the file; ``findings`` are about seals that are broken."""

    rows: tuple[BookKeys, ...]
    by_price: Mapping[tuple[str, str], tuple[BookKeys, ...]]
    by_day: Mapping[tuple[date, str], tuple[BookKeys, ...]]
    findings: tuple[Finding, ...]
    text: str
    format: BookFormat

    def history(self, variant: str, channel: str) -> tuple[BookKeys, ...]:
        """Give the rows of a variant in a channel in order of their dates; of one day, the last of the file."""
        return self.by_price.get((variant, channel), ())

    def last(self, variant: str, channel: str, day: date) -> BookKeys | None:
        """Give the row in force on a day: that of the latest date not after it."""
        return next((row for row in reversed(self.history(variant, channel)) if row.date <= day), None)

    def made_of(self, entry: BookKeys) -> str | None:
        """Give the lines of the cost when an entry was written; None for one written by hand.

        Of the rows that are written at once for a variant only the first holds them, whatever its channel.
        """
        if not entry.times:
            return None
        same_day = self.by_day[entry.date, entry.variant]
        earlier = same_day[: same_day.index(entry) + 1]
        return next((row.made_of for row in reversed(earlier) if row.made_of), None)

    def newest(self) -> date | None:
        """Give the latest day on which this program wrote. Rows of days to come may be written by hand."""
        return max((row.date for row in self.rows if row.seal), default=None)


NO_PRICES = PriceBook((), {}, {}, (), "", BookFormat())


def read_price_book(source: Source) -> PriceBook:
    """Read the book.

    Raises:
        MistakeError: a row is damaged or holds what cannot be; no row is skipped.
    """
    if not source.text.strip():
        return replace(NO_PRICES, text=source.text)
    table = read_table(source, set(COLUMNS), {"date", "variant", "channel", "price"}, MOST_BOOK_ROWS)
    book_format = _format(table)
    mistakes = Mistakes()
    broken = _broken_off(table)
    if broken is not None:
        mistakes.add(
            source.place(broken),
            wrong="the last row of the book breaks off",
            expected=f"{len(table.columns)} cells, or a line end after the last one",
            mend="complete the row from a copy; if it is whole, put a line end after it",
        )
        table = replace(table, rows=table.rows[:-1])
    kinds = {"date": "date", **dict.fromkeys(NUMBERS, "number")}
    entries = list(validated_rows(table, BookKeys, kinds, mistakes))
    mistakes.raise_if_any()
    rows = tuple(entry.keys for entry in entries)
    by_day: dict[tuple[date, str], list[BookKeys]] = {}
    for row in rows:
        by_day.setdefault((row.date, row.variant), []).append(row)
    days = {key: tuple(same_day) for key, same_day in by_day.items()}
    findings = (*_broken_seals(source, entries), *_rows_twice(source, entries))
    return PriceBook(rows, by_price(rows), days, findings, source.text, book_format)


def _broken_seals(source: Source, entries: Sequence[TableEntry[BookKeys]]) -> Iterator[Finding]:
    before = ""
    for entry in entries:
        row = entry.keys
        if row.seal is None:
            continue
        if row.seal != seal(before, row):
            yield Finding.of(
                "B04",
                source.place(entry.line),
                "findings_records.seal",
                variant=row.variant,
                channel=row.channel,
                day=row.date,
            )
        before = row.seal


def _rows_twice(source: Source, entries: Sequence[TableEntry[BookKeys]]) -> Iterator[Finding]:
    """Find prices with two rows from one day; what this program wrote twice on a day was meant."""
    last: dict[tuple[date, str, str], BookKeys] = {}
    again = []
    for entry in entries:
        row = entry.keys
        before = last.get((row.date, row.variant, row.channel), row)
        if row.price != before.price and not (row.seal and before.seal):
            again.append(entry)
        last[row.date, row.variant, row.channel] = row
    if again:
        row = again[0].keys
        place: dict[str, Value] = {"variant": row.variant, "channel": row.channel, "day": row.date}
        yield Finding.of("B08", source.place(again[0].line), "findings_records.rows_twice", count=len(again), **place)


def _broken_off(table: Table) -> int | None:
    """Give the line of the last row if the file ends inside it: a price that is cut off looks like a price."""
    if not table.rows or table.source.text.endswith("\n"):
        return None
    line = table.rows[-1].line
    rest = io.StringIO("\n".join(table.source.text.split("\n")[line - table.source.first_line :]), newline="\n")
    cells = next(csv.reader(rest, delimiter=table.separator))
    return line if len(cells) < len(table.columns) else None


def _format(table: Table) -> BookFormat:
    cells = (row.cells.get(column, "") for row in table.rows for column in NUMBERS)
    # Between commas a decimal comma could be read in two ways, so that none is written there.
    comma = table.separator != "," and any("," in cell for cell in cells)
    return BookFormat(table.separator, table.columns, comma)


def by_price(rows: Sequence[BookKeys]) -> dict[tuple[str, str], tuple[BookKeys, ...]]:
    """Give the rows of each variant in each channel in order of their dates; of one day, the last of the file."""
    dated: dict[tuple[str, str], dict[date, BookKeys]] = {}
    for row in rows:
        dated.setdefault((row.variant, row.channel), {})[row.date] = row
    return {key: tuple(by_date[day] for day in sorted(by_date)) for key, by_date in dated.items()}


def seal(before: str, row: BookKeys) -> str:
    """Give the seal of a row: twelve letters of the SHA-256 of the seal before and the row's own cells.

    A spreadsheet may save the book without breaking it: zeros at a number's end do not count, and a seal
    without digits cannot be read as a number.
    """
    numbers = {column: f"{getattr(row, column).normalize():f}" for column in NUMBERS}
    cells = {**cells_of(row), **numbers, "seal": before}
    return hashlib.sha256("\x1f".join(cells.values()).encode()).hexdigest()[:12].translate(_LETTERS)


def cells_of(row: BookKeys) -> dict[str, str]:
    """Give a row's cells by column, as they are written."""
    return {
        "date": row.date.isoformat(),
        "variant": row.variant,
        "channel": row.channel,
        "price": f"{row.price:f}",
        "times": f"{row.times:f}",
        "plus": f"{row.plus:f}",
        "why": row.why or "",
        "made_of": row.made_of or "",
        "seal": row.seal or "",
    }


def sealed(book: PriceBook, rows: Iterable[BookKeys]) -> tuple[BookKeys, ...]:
    """Seal rows that are to be added to the book."""
    before = next((row.seal for row in reversed(book.rows) if row.seal), None) or ""
    new = []
    for row in rows:
        before = seal(before, row)
        new.append(row.model_copy(update={"seal": before}))
    return tuple(new)


def addition(book: PriceBook, rows: Iterable[BookKeys], line_end: str = "\n") -> str:
    """Give the text that adds rows to the book, in its format."""
    text, form = io.StringIO(newline=""), book.format
    writer = csv.writer(text, delimiter=form.separator, lineterminator=line_end)
    if book.text and not book.text.endswith("\n"):
        text.write(line_end)
    if not book.text.strip():
        writer.writerow(form.columns)
    for row in rows:
        cells = cells_of(row)
        if form.decimal_comma:
            cells.update({column: cells[column].replace(".", ",") for column in NUMBERS})
        writer.writerow([cells[column] for column in form.columns])
    return text.getvalue()


def written_lines(lines: Sequence[tuple[str, Decimal, str, Decimal]], currency: str) -> str:
    """Write the lines of a cost as one text: ``key quantity unit x price of one``, with semicolons between."""
    words = [f"{key} {_short(quantity)} {unit} x {_short(price)}" for key, quantity, unit, price in lines]
    return "; ".join((*words, f"currency {currency}"))


def read_lines(text: str) -> dict[str, tuple[Decimal, Decimal]]:
    """Read such a text as quantity and price of one, by key. What cannot be read is left out."""
    lines: dict[str, tuple[Decimal, Decimal]] = {}
    for part in text.split(";"):
        words = part.split()
        if len(words) == 5 and words[3] == "x":
            try:
                # A material may be used in two ways at one price.
                quantity = lines.get(words[0], (Decimal(0), Decimal(0)))[0]
                lines[words[0]] = (quantity + Decimal(words[1]), Decimal(words[4]))
            except ArithmeticError:
                continue
    return lines


def currency_of(made_of: str) -> str | None:
    """Give the currency of such a text, where it says one."""
    return next((words[1] for words in map(str.split, made_of.split(";")) if words[:1] == ["currency"]), None)


def _short(number: Decimal) -> str:
    text = f"{number:.8f}".rstrip("0").rstrip(".")
    return text or "0"
