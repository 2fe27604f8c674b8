"""Writing the price book: rows are added whole or not at all, and never by two at once."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from catalog_builder.mistake import Mistake, MistakeError, Place
from catalog_builder.records.reading.replacing import replace_whole
from catalog_builder.records.reading.source import read
from catalog_builder.records.selling.price_book import COLUMNS, MOST_BOOK_BYTES, BookKeys, PriceBook, addition

NAME = "price_book.csv"


def add_rows(project: Path, book: PriceBook, rows: Sequence[BookKeys], day: date) -> Path:
    """Add rows to the book on a day, and give its path.

    The new text is written beside the old one and put in its place at once; what stood there stands unchanged.

    Raises:
        MistakeError: another run is writing, the book was changed since it was read, it holds later days, has no
            room for a column, or cannot be written.
    """
    path = project / "content" / NAME
    shown = f"content/{NAME}"
    newest = book.newest()
    if newest is not None and newest > day:
        raise _mistake(
            shown,
            f"the book holds prices from {newest}, later than {day}",
            "rows in the order of their days",
            "check this machine's clock, or write with `--day` on or after that day",
        )
    if book.hand.missing:
        raise _mistake(
            shown,
            f"the first row of the book does not name the columns {', '.join(book.hand.missing)}",
            f"the columns {', '.join(COLUMNS)}",
            "add them at the end of the first row; the rows under it may stay as they are",
        )
    with _written(shown), _alone(path.with_name(f".{NAME}.writing"), shown):
        now = read(project, path, MOST_BOOK_BYTES).text if path.exists() else ""
        if now != book.text:
            raise _mistake(
                shown,
                "the book was changed while this was being worked out",
                "the book as it was read",
                "run the command again; nothing was written",
            )
        # A byte order mark and line ends as a spreadsheet left them are kept: the old bytes are copied as they are.
        old = path.read_bytes() if path.exists() else b""
        line_end = re.search(rb"\r\n|\r|\n", old)
        added = addition(book, rows, line_end[0].decode() if line_end else "\n").encode()
        replace_whole(path, old + added)
    return path


@contextmanager
def _written(shown: str) -> Iterator[None]:
    try:
        yield
    except OSError as fault:
        raise _mistake(
            shown,
            f"the book cannot be written ({fault.strerror})",
            "a file and a folder that this user may write, with room on the disk",
            "close the book in other programs and check these; nothing was written",
        ) from None


@contextmanager
def _alone(lock: Path, shown: str) -> Iterator[None]:
    try:
        handle = os.open(lock, os.O_CREAT | os.O_EXCL | os.O_WRONLY)
    except FileExistsError:
        raise _mistake(
            shown,
            "another run is writing the price book",
            "one run at a time",
            f"wait for it; if none is running, delete content/{lock.name}",
        ) from None
    try:
        yield
    finally:
        os.close(handle)
        lock.unlink(missing_ok=True)


def _mistake(path: str, wrong: str, expected: str, mend: str) -> MistakeError:
    return MistakeError([Mistake(place=Place(path=path), wrong=wrong, expected=expected, mend=mend)])
