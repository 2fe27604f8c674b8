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

from catalog_builder.mistake import Mistake, MistakeError, nearest
from catalog_builder.records.source import Source

_DECIMAL_COMMA = re.compile(r"^-?\d+,\d+$")
_POINTED_DATE = re.compile(r"^(\d{1,2})\.(\d{1,2})\.(\d{4})$")
_YES = {"yes", "true", "1", "x", "ja", "wahr", "oui", "vrai"}
_NO = {"no", "false", "0", "nein", "falsch", "non", "faux"}


@dataclass(frozen=True, slots=True)
class Row:
    """A row: its line in the file and its cells by column. Empty cells are left out."""

    line: int
    cells: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Table:
    """A CSV file's rows and whether a comma stands for the decimal point in it."""

    source: Source
    rows: tuple[Row, ...]
    separator: str


def read_table(source: Source, known: set[str], needed: set[str]) -> Table:
    """Read a CSV text whose first row names the columns.

    Raises:
        MistakeError: a column is missing, unknown or doubled, a row is longer than the first one,
            or a quotation mark is never closed.
    """
    text, first = source.text, source.first_line
    marked = re.match(r"sep=(.)\n", text)
    if marked:
        text, first = text[marked.end() :], first + 1
    separator = marked[1] if marked else _separator(text)
    rows = list(_rows(source, text, first, separator))
    if not rows:
        raise MistakeError([_mistake(source, first, "the table is empty", _columns(needed), "add the columns")])
    head_line, head = rows[0][0], [cell.strip() for cell in rows[0][1]]
    while head and not head[-1]:
        head.pop()
    mistakes = []
    for column in dict.fromkeys(head):
        if head.count(column) > 1:
            mistakes.append(
                _mistake(
                    source,
                    head_line,
                    f"the column {column!r} stands twice",
                    "each column once",
                    "take one out",
                )
            )
        elif column not in known:
            guess = nearest(column, known)
            mend = f"did you mean {guess!r}?" if guess else "take the column out or rename it"
            mistakes.append(
                _mistake(source, head_line, f"the column {column!r} is not known", _columns(known), mend, column)
            )
    mistakes.extend(
        _mistake(source, head_line, f"the column {column!r} is missing", _columns(needed), "add it to the first row")
        for column in sorted(needed - set(head))
    )
    taken = []
    for line, cells in rows[1:]:
        if any(cell.strip() for cell in cells[len(head) :]):
            mistakes.append(
                _mistake(
                    source,
                    line,
                    f"the row has {len(cells)} cells, the first row only {len(head)}",
                    "no more cells than columns",
                    "a text that holds the separator must stand in quotation marks",
                )
            )
        if any(cell.strip() for cell in cells):
            pairs = zip(head, cells, strict=False)
            taken.append(Row(line, {column: cell.strip() for column, cell in pairs if cell.strip()}))
    if mistakes:
        raise MistakeError(mistakes)
    return Table(source, tuple(taken), separator)


def plain(table: Table, row: Row, kinds: Mapping[str, str]) -> dict[str, object]:
    """Give a row's cells in the program's own spelling.

    ``kinds`` names the columns that hold a ``number``, a ``date`` or a ``yes`` or no; the rest are texts.

    Raises:
        MistakeError: a cell can be read in two ways or is not what its column holds.
    """
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


def _number(table: Table, row: Row, column: str, cell: str) -> str:
    cell = cell.replace("\u00a0", "").replace("\u202f", "")
    if _DECIMAL_COMMA.match(cell):
        if table.separator == "," and len(cell.rpartition(",")[2]) == 3:
            raise MistakeError(
                [
                    _mistake(
                        table.source,
                        row.line,
                        f"{column}: {cell} can be read in two ways",
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
    if match:
        return f"{match[3]}-{int(match[2]):02}-{int(match[1]):02}"
    try:
        return date.fromisoformat(cell).isoformat()
    except ValueError:
        raise MistakeError(
            [
                _mistake(
                    table.source,
                    row.line,
                    f"{column}: {cell!r} is not a date that can be read in one way only",
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
                f"{column}: {cell!r} is neither yes nor no",
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
    reader = csv.reader(text.splitlines(keepends=True), delimiter=separator, strict=True)
    start = first
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield start, cells
            # The reader counts the last line of a row, and a quoted cell may span several.
            start = first + reader.line_num
    except csv.Error as fault:
        raise MistakeError(
            [
                _mistake(
                    source,
                    start,
                    f"the row cannot be read as CSV ({fault})",
                    "cells parted by one separator, quotation marks in pairs",
                    'close the quotation mark; a mark inside a text is written twice ("")',
                )
            ]
        ) from None


def _columns(columns: set[str]) -> str:
    return "the columns " + ", ".join(sorted(columns))


def _mistake(source: Source, line: int, wrong: str, expected: str, mend: str, marked: str | None = None) -> Mistake:
    return Mistake(place=source.place(line), wrong=wrong, expected=expected, mend=mend, marked=marked)
