"""A table of content/: CSV as any spreadsheet saves it, with the line of every row.

Taken as they come: a byte order mark, commas, semicolons or tabs, CRLF, a first line of ``sep=;``,
decimal commas, and dates as year-month-day or day.month.year.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from io import StringIO
from itertools import islice

from catalog_builder.mistake import Mistake, MistakeError, nearest, quoted
from catalog_builder.records.reading.source import Source

MOST_COLUMNS = 200
MOST_ROWS = 50_000

_DECIMAL_COMMA = re.compile(r"^-?\d+,\d+$")
_POINTED_DATE = re.compile(r"^(\d{1,2})\.(\d{1,2})\.(\d{4})$")
_YES = {"yes", "true", "1", "x", "ja", "wahr", "oui", "vrai"}
_NO = {"no", "false", "0", "nein", "falsch", "non", "faux"}


@dataclass(frozen=True, slots=True)
class Row:
    """A row: its line in the file and its cells by column, empty ones left out.

    ``surplus`` says how many cells it has more than there are columns.
    """

    line: int
    cells: Mapping[str, str]
    surplus: int


@dataclass(frozen=True, slots=True)
class Table:
    """A CSV file's rows, what parts its cells, and its columns in their order."""

    source: Source
    rows: tuple[Row, ...]
    separator: str
    columns: tuple[str, ...]


def read_table(source: Source, known: set[str], needed: set[str], most_rows: int = MOST_ROWS) -> Table:
    """Read a CSV text whose first row names the columns.

    Raises:
        MistakeError: a column is missing, unknown or doubled, a quotation mark is never closed, or there are more rows
            than ``most_rows``.
    """
    text, first = source.text, source.first_line
    marked = re.match(r"sep=([,;|\t])\n", text)
    if marked:
        text, first = text[marked.end() :], first + 1
    separator = marked[1] if marked else _separator(text)
    rows = list(islice(_rows(source, text, first, separator), most_rows + 2))
    if not rows:
        raise MistakeError([_mistake(source, first, "the table is empty", _columns(needed), "add the columns")])
    head_line, head = rows[0][0], [cell.strip() for cell in rows[0][1]]
    width = len(head)
    while head and not head[-1]:
        head.pop()
    mistakes = _head_mistakes(source, head_line, head, known, needed)
    if mistakes:
        raise MistakeError(mistakes)
    if len(rows) > most_rows + 1:
        wrong, mend = f"the table has more than {most_rows} rows", "keep those that you use"
        raise MistakeError([Mistake(place=source.place(), wrong=wrong, expected="a table kept by hand", mend=mend)])
    taken = []
    for line, cells in rows[1:]:
        named = {column: cell.strip() for column, cell in zip(head, cells, strict=False) if cell.strip()}
        # A row may be as long as the first one, blanks at its end included.
        surplus = len(cells) > width or any(cell.strip() for cell in cells[len(head) :])
        taken.append(Row(line, named, len(cells) - len(head) if surplus else 0))
    return Table(source, tuple(taken), separator, tuple(head))


def _head_mistakes(source: Source, line: int, head: list[str], known: set[str], needed: set[str]) -> list[Mistake]:
    if len(head) > MOST_COLUMNS:
        wrong, mend = f"the first row has {len(head)} columns", "check that this is the table you meant"
        return [_mistake(source, line, wrong, f"up to {MOST_COLUMNS} columns", mend)]
    mistakes, meant = [], set()
    for column in dict.fromkeys(head):
        if head.count(column) > 1:
            wrong = f"the column {quoted(column)} stands twice" if column else "several columns have no name"
            mistakes.append(_mistake(source, line, wrong, "each column once", "take one out", column))
        elif column not in known:
            guess = nearest(column, known)
            meant.add(guess)
            mend = f"did you mean {guess!r}?" if guess else "take the column out or rename it"
            wrong = f"the column {quoted(column)} is not known" if column else "a column has no name"
            mistakes.append(_mistake(source, line, wrong, _columns(known), mend, column))
    # A column that is only misspelled is told once, not as missing too.
    mistakes.extend(
        _mistake(source, line, f"the column {column!r} is missing", _columns(needed), "add it to the first row")
        for column in sorted(needed - set(head) - meant)
    )
    return mistakes


def plain(table: Table, row: Row, kinds: Mapping[str, str]) -> dict[str, object]:
    """Give a row's cells in the program's own spelling.

    ``kinds`` names the columns that hold a ``number``, a ``date`` or a ``yes`` or no; the rest are texts.

    Raises:
        MistakeError: the row has more cells than there are columns, or a cell can be read in two ways or is
            not what its column holds.
    """
    if row.surplus:
        raise _long(table, row)
    values: dict[str, object] = {}
    mistakes: list[Mistake] = []
    spelling: dict[str, Callable[[Table, Row, str, str], object]] = {
        "number": _number,
        "date": _date,
        "yes": _yes,
    }
    for column, cell in row.cells.items():
        read = spelling.get(kinds.get(column, ""))
        try:
            values[column] = read(table, row, column, cell) if read else cell
        except MistakeError as fault:
            mistakes.extend(fault.mistakes)
    if mistakes:
        raise MistakeError(mistakes)
    return values


def _long(table: Table, row: Row) -> MistakeError:
    """Say that a row is too long. Its cells may stand in the wrong columns, so that none of them is read."""
    wrong = f"the row has {row.surplus} more {'cell' if row.surplus == 1 else 'cells'} than there are columns"
    mend = "a text or number that holds the separator must stand in quotation marks"
    return MistakeError([_mistake(table.source, row.line, wrong, "no more cells than columns", mend)])


def _number(table: Table, row: Row, column: str, cell: str) -> str:
    cell = cell.replace("\u00a0", "").replace("\u202f", "")
    if _DECIMAL_COMMA.match(cell):
        if table.separator == "," and len(cell.rpartition(",")[2]) == 3:
            raise MistakeError(
                [
                    _mistake(
                        table.source,
                        row.line,
                        f"{column}: {quoted(cell)} can be read in two ways",
                        "a number with a decimal point and no thousands separator",
                        f"write {cell.replace(',', '')} or {cell.replace(',', '.')}",
                        cell,
                    )
                ]
            )
        return cell.replace(",", ".")
    return cell


def _date(table: Table, row: Row, column: str, cell: str) -> str:
    match = _POINTED_DATE.match(cell)
    try:
        if match:
            return date(int(match[3]), int(match[2]), int(match[1])).isoformat()
        return date.fromisoformat(cell).isoformat()
    except ValueError:
        raise MistakeError(
            [
                _mistake(
                    table.source,
                    row.line,
                    f"{column}: {quoted(cell)} is not a date that can be read in one way only",
                    "year-month-day, such as 2026-03-14, or day.month.year",
                    "write the date as year-month-day; in a spreadsheet, format the column so",
                    cell,
                )
            ]
        ) from None


def _yes(table: Table, row: Row, column: str, cell: str) -> bool:
    if cell.lower() in _YES | _NO:
        return cell.lower() in _YES
    raise MistakeError(
        [
            _mistake(
                table.source,
                row.line,
                f"{column}: {quoted(cell)} is neither yes nor no",
                "yes or no",
                "write yes or no, or leave the cell empty",
                cell,
            )
        ]
    )


def _separator(text: str) -> str:
    head = text.partition("\n")[0]
    return max(",;\t", key=head.count)


def _rows(source: Source, text: str, first: int, separator: str) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(StringIO(text, newline="\n"), delimiter=separator, strict=True)
    start = first
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield start, cells
            # The reader counts the last line of a row, and a quoted cell may span several.
            start = first + reader.line_num
    except csv.Error:
        raise MistakeError(
            [
                _mistake(
                    source,
                    start,
                    "the row cannot be read: a quotation mark is not closed, or a text goes on after it",
                    "cells parted by one separator, quotation marks in pairs",
                    'close the quotation mark; a mark inside a text is written twice ("")',
                )
            ]
        ) from None


def _columns(columns: set[str]) -> str:
    return "the columns " + ", ".join(sorted(columns))


def _mistake(source: Source, line: int, wrong: str, expected: str, mend: str, marked: str | None = None) -> Mistake:
    return Mistake(place=source.place(line), wrong=wrong, expected=expected, mend=mend, marked=marked)
