"""A table of content/: CSV as any spreadsheet saves it, with the line of every row.

All of these are read: a byte order mark, commas, semicolons or tabs, CRLF, a first line of ``sep=;``,
decimal commas, and dates as year-month-day or day.month.year.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from io import StringIO
from itertools import islice

from catalog_builder.mistake import MistakeError, Mistakes, nearest, quoted, suggestion
from catalog_builder.records.reading.source import Source

MOST_COLUMNS = 200
MOST_ROWS = 50_000

_DECIMAL_COMMA = re.compile(r"^-?\d+,\d+$")
_POINTED_DATE = re.compile(r"^(\d{1,2})\.(\d{1,2})\.(\d{4})$")
_YES = {"yes", "true", "1", "x", "ja", "wahr", "oui", "vrai"}
_NO = {"no", "false", "0", "nein", "falsch", "non", "faux"}


@dataclass(frozen=True, slots=True)
class Row:
    """A row: its line in the file and its cells by column, without empty ones.

    ``surplus`` counts the cells that it has more than there are columns.
    """

    line: int
    cells: Mapping[str, str]
    surplus: int


@dataclass(frozen=True, slots=True)
class Table:
    """A CSV file's rows, the separator of its cells, and its columns in their order."""

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
        place, expected = source.place(first), _columns(needed)
        raise MistakeError.at(place, wrong="the table is empty", expected=expected, mend="add the columns")
    head_line, head = rows[0][0], [cell.strip() for cell in rows[0][1]]
    width = len(head)
    while head and not head[-1]:
        head.pop()
    _check_head(source, head_line, head, known, needed)
    if len(rows) > most_rows + 1:
        wrong, mend = f"the table has more than {most_rows} rows", "keep those that you use"
        raise MistakeError.at(source.place(), wrong=wrong, expected="a table kept by hand", mend=mend)
    table_rows = []
    for line, cells in rows[1:]:
        by_column = {column: cell.strip() for column, cell in zip(head, cells, strict=False) if cell.strip()}
        # A row may be as long as the first one, blanks at its end included.
        surplus = len(cells) > width or any(cell.strip() for cell in cells[len(head) :])
        table_rows.append(Row(line, by_column, len(cells) - len(head) if surplus else 0))
    return Table(source, tuple(table_rows), separator, tuple(head))


def _check_head(source: Source, line: int, head: list[str], known: set[str], needed: set[str]) -> None:
    place, mistakes, meant = source.place(line), Mistakes(), set()
    if len(head) > MOST_COLUMNS:
        wrong, mend = f"the first row has {len(head)} columns", "check that this is the table you meant"
        raise MistakeError.at(place, wrong=wrong, expected=f"up to {MOST_COLUMNS} columns", mend=mend)
    for column in dict.fromkeys(head):
        if head.count(column) > 1:
            wrong = f"the column {quoted(column)} stands twice" if column else "several columns have no name"
            mistakes.add(place, wrong=wrong, expected="each column once", mend="take one out", marked=column)
        elif column not in known:
            meant.add(nearest(column, known))
            mend = suggestion(column, known, "take the column out or rename it")
            wrong = f"the column {quoted(column)} is not known" if column else "a column has no name"
            mistakes.add(place, wrong=wrong, expected=_columns(known), mend=mend, marked=column)
    # A column that is only misspelled is reported once, not as missing too.
    for column in sorted(needed - set(head) - meant):
        wrong = f"the column {column!r} is missing"
        mistakes.add(place, wrong=wrong, expected=_columns(needed), mend="add it to the first row")
    mistakes.raise_if_any()


def normalized_cells(table: Table, row: Row, kinds: Mapping[str, str]) -> dict[str, object]:
    """Give a row's cells in the program's own spelling.

    ``kinds`` names the columns that hold a ``number``, a ``date`` or a ``yes`` or no; the rest are texts.

    Raises:
        MistakeError: the row has more cells than there are columns, or a cell can be read in two ways or is
            not what its column holds.
    """
    place = table.source.place(row.line)
    if row.surplus:
        # The cells may be in the wrong columns, so that none of them is read.
        raise MistakeError.at(
            place,
            wrong=f"the row has {row.surplus} more {'cell' if row.surplus == 1 else 'cells'} than there are columns",
            expected="no more cells than columns",
            mend="a text or number that holds the separator must stand in quotation marks",
        )
    values: dict[str, object] = {}
    mistakes = Mistakes()
    for column, cell in row.cells.items():
        try:
            values[column] = _normalized(kinds.get(column), cell, table.separator)
        except _CellError as error:
            wrong = f"{column}: {quoted(error.cell)} {error.wrong}"
            mistakes.add(place, wrong=wrong, expected=error.expected, mend=error.mend, marked=error.cell)
    mistakes.raise_if_any()
    return values


class _CellError(ValueError):
    """What is wrong with a cell, what was expected, and how to mend it."""

    def __init__(self, cell: str, wrong: str, expected: str, mend: str) -> None:
        self.cell, self.wrong, self.expected, self.mend = cell, wrong, expected, mend


def _normalized(kind: str | None, cell: str, separator: str) -> object:
    match kind:
        case "number":
            return _number(cell, separator)
        case "date":
            return _date(cell)
        case "yes":
            return _yes(cell)
        case _:
            return cell


def _number(cell: str, separator: str) -> str:
    # Blanks that part thousands: no-break, and narrow no-break.
    cell = cell.replace("\u00a0", "").replace("\u202f", "")
    if not _DECIMAL_COMMA.match(cell):
        return cell
    if separator == "," and len(cell.rpartition(",")[2]) == 3:
        raise _CellError(
            cell,
            "can be read in two ways",
            "a number with a decimal point and no thousands separator",
            f"write {cell.replace(',', '')} or {cell.replace(',', '.')}",
        )
    return cell.replace(",", ".")


def _date(cell: str) -> str:
    match = _POINTED_DATE.match(cell)
    try:
        if match:
            return date(int(match[3]), int(match[2]), int(match[1])).isoformat()
        return date.fromisoformat(cell).isoformat()
    except ValueError:
        raise _CellError(
            cell,
            "is not a date that can be read in one way only",
            "year-month-day, such as 2026-03-14, or day.month.year",
            "write the date as year-month-day; in a spreadsheet, format the column so",
        ) from None


def _yes(cell: str) -> bool:
    if cell.lower() in _YES | _NO:
        return cell.lower() in _YES
    raise _CellError(cell, "is neither yes nor no", "yes or no", "write yes or no, or leave the cell empty")


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
        raise MistakeError.at(
            source.place(start),
            wrong="the row cannot be read: a quotation mark is not closed, or a text goes on after it",
            expected="cells parted by one separator, quotation marks in pairs",
            mend='close the quotation mark; a mark inside a text is written twice ("")',
        ) from None


def _columns(columns: set[str]) -> str:
    return "the columns " + ", ".join(sorted(columns))
