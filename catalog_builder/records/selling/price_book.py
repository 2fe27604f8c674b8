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
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.table import Table, plain, read_table
from catalog_builder.records.reading.validation import admit
from catalog_builder.records.reading.values import Amount, Day, Line, Record

# The book is never cut short, so that it may grow past what other files may be.
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
    price: Amount = Field(description="what is printed")
    times: Amount = Field(Decimal(0), description="the channel's rule on that day: times the cost ...")
    plus: Amount = Field(Decimal(0), description="... plus this, then up to the price point")
    why: Line | None = Field(None, description="what the maker wrote beside it")
    made_of: str | None = Field(None, description="the lines of the cost on that day, quantity x price of one")
    seal: str | None = Field(None, description="a seal over this row and the one before; empty in rows written by hand")


@dataclass(frozen=True, slots=True)
class BookFormat:
    """How the book is written, by this program or as a spreadsheet saved it: what parts its cells, and its columns."""

    separator: str = ","
    columns: tuple[str, ...] = COLUMNS
    decimal_comma: bool = False

    @property
    def missing(self) -> tuple[str, ...]:
        """The columns that the book has no room for."""
        return tuple(column for column in COLUMNS if column not in self.columns)


@dataclass(frozen=True, slots=True)
class PriceBook:
    """The rows of the book in the order of the file; ``findings`` tell seals that are broken."""

    rows: tuple[BookKeys, ...]
    by_price: Mapping[tuple[str, str], tuple[BookKeys, ...]]
    by_day: Mapping[tuple[date, str], tuple[BookKeys, ...]]
    findings: tuple[Finding, ...]
    text: str
    hand: BookFormat

    def history(self, variant: str, channel: str) -> tuple[BookKeys, ...]:
        """Give the rows of a variant in a channel in order of their dates; of one day, the last of the file."""
        return self.by_price.get((variant, channel), ())

    def last(self, variant: str, channel: str, day: date) -> BookKeys | None:
        """Give the row in force on a day: that of the latest date not after it."""
        return next((row for row in reversed(self.history(variant, channel)) if row.date <= day), None)

    def made_of(self, entry: BookKeys) -> str | None:
        """Give what the cost was made of when an entry was written; None for one written by hand.

        Of the rows that are written at once for a variant only the first says it, whatever its channel.
        """
        if not entry.times:
            return None
        same = self.by_day[entry.date, entry.variant]
        before = same[: same.index(entry) + 1]
        return next((row.made_of for row in reversed(before) if row.made_of), None)

    def newest(self) -> date | None:
        """Give the latest day on which this program wrote. Rows of days to come may be written by hand."""
        return max((row.date for row in self.rows if row.seal), default=None)


def read_price_book(source: Source | None) -> PriceBook:
    """Read the book; where there is no file, it is empty.

    Raises:
        MistakeError: a row is damaged or holds what cannot be; no row is passed over.
    """
    if source is None or not source.text.strip():
        return PriceBook((), {}, {}, (), source.text if source else "", BookFormat())
    table = read_table(source, set(COLUMNS), {"date", "variant", "channel", "price"}, MOST_BOOK_ROWS)
    kinds = {"date": "date", **dict.fromkeys(NUMBERS, "number")}
    mistakes: list[Mistake] = []
    rows: list[BookKeys] = []
    findings: list[Finding] = []
    before = ""
    broken = _broken_off(table)
    for row in table.rows:
        if row.line == broken:
            mistakes.append(
                Mistake(
                    place=source.place(row.line),
                    wrong="the last row of the book breaks off",
                    expected=f"{len(table.columns)} cells, or a line end after the last one",
                    mend="complete the row from a copy; if it is whole, put a line end after it",
                )
            )
            continue
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
    by_day: dict[tuple[date, str], list[BookKeys]] = {}
    for keys in rows:
        by_day.setdefault((keys.date, keys.variant), []).append(keys)
    days = {key: tuple(found) for key, found in by_day.items()}
    return PriceBook(tuple(rows), _by_price(rows), days, tuple(findings), source.text, _hand(table))


def _broken_off(table: Table) -> int | None:
    """Give the line of the last row where the file ends in the middle of it: what is left of a price is a price too."""
    if not table.rows or table.source.text.endswith("\n"):
        return None
    line = table.rows[-1].line
    rest = io.StringIO("\n".join(table.source.text.split("\n")[line - table.source.first_line :]), newline="\n")
    cells = next(csv.reader(rest, delimiter=table.separator))
    return line if len(cells) < len(table.columns) else None


def _hand(table: Table) -> BookFormat:
    cells = (row.cells.get(column, "") for row in table.rows for column in NUMBERS)
    # Between commas a decimal comma could be read in two ways, so that none is written there.
    comma = table.separator != "," and any("," in cell for cell in cells)
    return BookFormat(table.separator, table.columns, comma)


def _by_price(rows: Sequence[BookKeys]) -> dict[tuple[str, str], tuple[BookKeys, ...]]:
    days: dict[tuple[str, str], dict[date, BookKeys]] = {}
    for row in rows:
        days.setdefault((row.variant, row.channel), {})[row.date] = row
    return {key: tuple(found[day] for day in sorted(found)) for key, found in days.items()}


def seal(before: str, row: BookKeys) -> str:
    """Give the seal of a row: twelve letters of the SHA-256 of the seal before and the row's own cells.

    A spreadsheet that saves the book anew keeps it whole: zeros at a number's end do not count, and a seal
    without digits is never taken for a number.
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


def addition(book: PriceBook, rows: Iterable[BookKeys], line_end: str = "\n") -> str:
    """Give the text that adds rows to the book: sealed, and in the hand that the book is written in."""
    out, hand = io.StringIO(newline=""), book.hand
    writer = csv.writer(out, delimiter=hand.separator, lineterminator=line_end)
    if book.text and not book.text.endswith("\n"):
        out.write(line_end)
    if not book.text.strip():
        writer.writerow(hand.columns)
    before = next((row.seal for row in reversed(book.rows) if row.seal), None) or ""
    for row in rows:
        before = seal(before, row)
        cells = {**cells_of(row), "seal": before}
        if hand.decimal_comma:
            cells.update({column: cells[column].replace(".", ",") for column in NUMBERS})
        writer.writerow([cells[column] for column in hand.columns])
    return out.getvalue()


def written_lines(lines: Sequence[tuple[str, Decimal, str, Decimal]]) -> str:
    """Write the lines of a cost as one text: ``key quantity unit x price of one``, parted by semicolons."""
    return "; ".join(f"{key} {_short(quantity)} {unit} x {_short(price)}" for key, quantity, unit, price in lines)


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


def _short(number: Decimal) -> str:
    text = f"{number:.8f}".rstrip("0").rstrip(".")
    return text or "0"
