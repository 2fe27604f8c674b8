"""Writing the price book: rows are added whole or not at all, and never by two processes at once."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from catalog_builder.cache.atomic_file import CACHE_FOLDER, replace_file, try_replace_file
from catalog_builder.cache.lock import LockedError, exclusive
from catalog_builder.mistake import Finding, MistakeError, Place
from catalog_builder.phrase import phrase
from catalog_builder.records.keeping.safe_writing import changed_since, writing
from catalog_builder.records.reading.source import read
from catalog_builder.records.selling.price_book import (
    COLUMNS,
    MOST_BOOK_BYTES,
    BookKeys,
    PriceBook,
    addition,
    cells_of,
    read_price_book,
    sealed,
)

NAME = "price_book.csv"
PLACE = Place(path=f"content/{NAME}")


def add_rows(project: Path, book: PriceBook, rows: Sequence[BookKeys], day: date) -> Path:
    """Add rows to the book on a day, and give its path; the rows that are there stay as they are.

    Raises:
        MistakeError: another run is writing, the book was changed since it was read, it holds later days, has no
            room for a column, or cannot be written.
    """
    path = project / "content" / NAME
    newest = book.newest()
    if newest is not None and newest > day:
        raise MistakeError.at(
            PLACE,
            wrong=f"the book holds prices from {newest}, later than {day}",
            expected="rows in the order of their days",
            mend="check this machine's clock, or write with `--day` on or after that day",
        )
    if book.format.missing:
        raise MistakeError.at(
            PLACE,
            wrong=f"the first row of the book does not name the columns {', '.join(book.format.missing)}",
            expected=f"the columns {', '.join(COLUMNS)}",
            mend="add them at the end of the first row; the rows under it may stay as they are",
        )
    with _writing(project):
        now = read(project, path, MOST_BOOK_BYTES).text if path.exists() else ""
        if now != book.text:
            raise changed_since(PLACE, "the book")
        # The old bytes are copied, so that a spreadsheet's byte order mark and line ends stay.
        old = path.read_bytes() if path.exists() else b""
        line_end = re.search(rb"\r\n|\r|\n", old)
        new = sealed(book, rows)
        replace_file(path, old + addition(book, new, line_end[0].decode() if line_end else "\n").encode())
        try_replace_file(_last_row(project), _copied(new[-1]))
    return path


def missing_end(project: Path, book: PriceBook) -> Iterator[Finding]:
    """Find that the row that was written last is gone, which the seal of no later row can show.

    The output holds a copy of it; where the output was deleted since, nothing is known of it.
    """
    copy = _last_row(project)
    cells = copy.read_text(encoding="utf-8").split("\x1f") if copy.is_file() else []
    if len(cells) == len(COLUMNS):
        row = dict(zip(COLUMNS, cells, strict=True))
        if row["seal"] not in {row.seal for row in book.rows}:
            day = date.fromisoformat(row["date"])
            text = phrase("findings_records.end_missing", variant=row["variant"], channel=row["channel"], day=day)
            yield Finding(code="B04", place=PLACE, text=text, advice=phrase("findings_records.end_missing_advice"))


@contextmanager
def replacing_book(project: Path) -> Iterator[None]:
    """Keep other runs out of the book while the block puts another one in its place.

    The copy of the last row is gone meanwhile: a run that is ended then leaves no copy that fits neither book.

    Raises:
        MistakeError: another run is writing, or something cannot be written.
    """
    path = project / "content" / NAME
    with _writing(project):
        _last_row(project).unlink(missing_ok=True)
        yield
        rows = read_price_book(read(project, path, MOST_BOOK_BYTES)).rows if path.exists() else ()
        last = next((row for row in reversed(rows) if row.seal), None)
        if last is not None:
            try_replace_file(_last_row(project), _copied(last))


def _copied(row: BookKeys) -> bytes:
    return "\x1f".join(cells_of(row).values()).encode()


def _last_row(project: Path) -> Path:
    return project / "site_output" / CACHE_FOLDER / "price_book.last"


@contextmanager
def _writing(project: Path) -> Iterator[None]:
    """Keep other runs out of the book while it is written.

    Raises:
        MistakeError: another run is writing, or something cannot be written.
    """
    with writing(PLACE, "the book"):
        try:
            with exclusive(project / "site_output" / CACHE_FOLDER / "price_book.lock"):
                yield
        except LockedError:
            raise MistakeError.at(
                PLACE,
                wrong="another run is writing the price book",
                expected="one run at a time",
                mend="wait for it, then run the command again",
            ) from None
