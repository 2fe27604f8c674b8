"""Writing the price book: in its own format, whole or not at all, and never by two processes at once."""

from __future__ import annotations

import csv
import errno
import io
import multiprocessing
import os
import re
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest

from catalog_builder.build import calculate
from catalog_builder.cache.atomic_file import CACHE_FOLDER
from catalog_builder.commands.reprice import record_prices
from catalog_builder.mistake import MistakeError
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.records.selling.book_keeping import add_rows
from catalog_builder.records.selling.price_book import COLUMNS, NO_PRICES
from tests.book import (
    PANE,
    book_file,
    book_of,
    by_hand,
    cells_in,
    dearer,
    edited,
    listing,
    on_day,
    record,
    recorded,
    refused,
    resaved,
    row,
)
from tests.cache.lock_holder import holder
from tests.studio import DAY, project
from tests.studio import record as pane

LATER = DAY + timedelta(days=30)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A studio with one product, its prices recorded on the usual day."""
    return recorded(tmp_path)


# Adding


def test_rows_are_added_behind_what_stands_there(root: Path) -> None:
    """What stood in the book stands unchanged byte for byte, and new rows follow it."""
    old = book_file(root).read_bytes()
    dearer(root, "reed", "30.00", LATER)
    assert record(root, LATER, "reed is dearer") == 3
    new = book_file(root).read_bytes()
    assert new.startswith(old)
    assert [entry.why for entry in book_of(root).rows] == ["first prices"] * 3 + ["reed is dearer"] * 3
    assert book_of(root).findings == ()


SAVED: dict[str, tuple[str, Callable[[str], str], bytes]] = {
    "CRLF": (",", str, b""),
    "a byte order mark": (",", str, b"\xef\xbb\xbf"),
    "semicolons": (";", str, b""),
    "tabs": ("\t", str, b"\xef\xbb\xbf"),
    "decimal commas": (";", lambda cell: re.sub(r"^(\d+)\.(\d+)$", r"\1,\2", cell), b"\xef\xbb\xbf"),
    "days first": (";", lambda cell: re.sub(r"^(\d{4})-(\d\d)-(\d\d)$", r"\3.\2.\1", cell), b""),
}


@pytest.mark.parametrize("way", SAVED)
def test_rows_are_added_in_the_format_that_a_spreadsheet_saved(root: Path, way: str) -> None:
    """Separator, line ends, mark and decimal commas of a spreadsheet are kept; old and new rows read together.

    Saving the book anew is no change of its rows: no seal is broken by it.
    """
    separator, change, mark = SAVED[way]
    old = resaved(root, separator, change, mark)
    dearer(root, "reed", "30.00", LATER)
    assert record(root, LATER) == 3
    new = book_file(root).read_bytes()
    assert new.startswith(old)
    assert b"\n" not in new[len(old) :].replace(b"\r\n", b"")
    assert {len(cells) for cells in cells_in(root, separator)} == {len(COLUMNS)}
    book = book_of(root)
    assert len(book.rows) == 6
    assert book.findings == ()
    assert book.rows[3].price == on_day(root, LATER).standings["online"].policy.printed
    assert ("," in cells_in(root, separator)[3][3]) == (way == "decimal commas")


def test_zeros_that_a_spreadsheet_leaves_out_are_no_change(root: Path) -> None:
    """A spreadsheet makes 24.50 into 24.5 and 30.00 into 30: the prices are the same, and so are their seals."""
    add_rows(root, book_of(root), [row("24.50"), row("30.00", channel="stall")], DAY)
    resaved(root, ";", lambda cell: cell.rstrip("0").rstrip(".") if re.fullmatch(r"\d+\.\d+", cell) else cell)
    assert [cells[3] for cells in cells_in(root, ";")[3:]] == ["24.5", "30"]
    assert book_of(root).findings == ()
    assert str(on_day(root).prices["online"].printed) == "24.50"


def test_a_last_line_without_an_end_is_ended_first(tmp_path: Path) -> None:
    """A file whose last row has no line end gets one before the first new row."""
    project(tmp_path, {"pane": pane()})
    text = ",".join(COLUMNS) + f"\n2031-01-01,{PANE},online,20.00,,,,,"
    book_file(tmp_path).write_text(text, encoding="utf-8")
    record(tmp_path)
    assert book_file(tmp_path).read_text(encoding="utf-8").startswith(text + "\n2031-05-20,")
    assert len(book_of(tmp_path).rows) == 4


@pytest.mark.parametrize("text", ["", "\n", "\ufeff", ",".join(COLUMNS) + "\n", ",".join(COLUMNS)])
def test_an_empty_book_is_begun(tmp_path: Path, text: str) -> None:
    """A book without a row is added to like any other, and its columns are named once."""
    project(tmp_path, {"pane": pane()})
    book_file(tmp_path).write_text(text, encoding="utf-8")
    assert record(tmp_path) == 3
    assert len(book_of(tmp_path).rows) == 3
    assert book_file(tmp_path).read_text(encoding="utf-8").count("made_of") == 1


def test_columns_may_stand_in_any_order(root: Path) -> None:
    """New rows follow the order of the book's own columns."""
    rows = list(csv.reader(io.StringIO(book_file(root).read_text(encoding="utf-8"))))
    book_file(root).write_text("".join(",".join(reversed(cells)) + "\n" for cells in rows), encoding="utf-8")
    dearer(root, "reed", "30.00", LATER)
    assert record(root, LATER) == 3
    assert [entry.date for entry in book_of(root).rows] == [DAY] * 3 + [LATER] * 3
    assert book_of(root).findings == ()


def test_a_book_without_room_for_a_column_is_not_added_to(tmp_path: Path) -> None:
    """Where the first row does not name every column, recording is refused; with the names added it goes on."""
    by_hand(project(tmp_path, {"pane": pane()}), f"2031-01-01,{PANE},online,20.00")
    old = book_file(tmp_path).read_text(encoding="utf-8")
    message = refused(lambda: record(tmp_path))
    assert "the first row of the book does not name the columns times, plus, why, made_of, seal" in message
    assert book_file(tmp_path).read_text(encoding="utf-8") == old
    named = old.replace("price\n", "price,times,plus,why,made_of,seal\n")
    book_file(tmp_path).write_text(named, encoding="utf-8")
    record(tmp_path)
    assert book_file(tmp_path).read_text(encoding="utf-8").startswith(named)
    assert len(book_of(tmp_path).rows) == 4


@pytest.mark.parametrize("why", ["", "x" * 2001, "bell \x07"])
def test_words_that_cannot_stand_in_the_book_are_refused(tmp_path: Path, why: str) -> None:
    """Words beside a price that are no line of text are refused, and no book is made."""
    project(tmp_path, {"pane": pane()})
    with pytest.raises(MistakeError, match="--why: why: "):
        record(tmp_path, why=why)
    assert "price_book.csv" not in listing(tmp_path)


# Two at once, and what goes wrong on the way


def add_one(root: str, number: int, began: object) -> str:
    """Add a row in a process of its own; what came of it."""
    book = NO_PRICES
    began.wait(60)  # type: ignore[attr-defined]
    try:
        add_rows(Path(root), book, [row(f"{number}.00")], DAY)
    except MistakeError as error:
        return error.mistakes[0].wrong
    return "written"


def test_of_runs_at_once_one_writes(tmp_path: Path) -> None:
    """Of several runs that write at once one does, the others say why not, and the book is whole."""
    (tmp_path / "content").mkdir()
    context = multiprocessing.get_context("spawn")
    with context.Manager() as manager, context.Pool(4) as pool:
        began = manager.Barrier(4)
        results = pool.starmap(add_one, [(str(tmp_path), number, began) for number in range(1, 5)], chunksize=1)
    assert results.count("written") == 1
    assert set(results) - {"written"} <= {
        "another run is writing the price book",
        "the book was changed while this was being worked out",
    }
    assert len(book_of(tmp_path).rows) == 1
    assert listing(tmp_path) == ["price_book.csv"]


def test_a_run_that_writes_keeps_others_out(root: Path) -> None:
    """While another run holds the book, nothing is written; once it is done, the same command writes."""
    old = book_file(root).read_bytes()
    dearer(root, "reed", "30.00", LATER)
    with holder(root / "site_output" / CACHE_FOLDER / "price_book.lock"):
        assert "another run is writing the price book" in refused(lambda: record(root, LATER))
    assert book_file(root).read_bytes() == old
    assert record(root, LATER) == 3


def test_a_book_changed_in_between_is_not_written(root: Path) -> None:
    """A row that came in while prices were worked out is not overwritten."""
    dearer(root, "reed", "30.00", LATER)
    calculated = calculate(root, LATER, quiet)
    edited(root, lambda lines: lines.append(f"2031-06-01,{PANE},online,30.00,,,,,"))
    old = book_file(root).read_bytes()
    message = refused(lambda: record_prices(root, calculated, None))
    assert "the book was changed while this was being worked out" in message
    assert book_file(root).read_bytes() == old


def test_a_book_taken_away_in_between_is_not_begun_anew(root: Path) -> None:
    """If the book is gone since it was read, no new one without the old prices is made."""
    dearer(root, "reed", "30.00", LATER)
    calculated = calculate(root, LATER, quiet)
    book_file(root).unlink()
    assert "the book was changed" in refused(lambda: record_prices(root, calculated, None))
    assert not book_file(root).exists()


def test_a_clock_that_went_back_writes_nothing(root: Path) -> None:
    """Rows are written in the order of their days: an earlier day than the last one written is refused."""
    old = book_file(root).read_bytes()
    dearer(root, "reed", "30.00", date(2031, 1, 1))
    earlier = DAY - timedelta(days=1)
    message = refused(lambda: record(root, earlier))
    assert f"the book holds prices from {DAY}, later than {earlier}" in message
    assert "check this machine's clock" in message
    assert book_file(root).read_bytes() == old


def test_prices_to_come_by_hand_stop_no_writing(root: Path) -> None:
    """A row that the maker wrote ahead comes into force on its day, and today's prices can still be recorded."""
    edited(root, lambda lines: lines.append(f"2032-01-01,{PANE},online,40.00,,,,,"))
    dearer(root, "reed", "30.00", LATER)
    assert record(root, LATER) == 3
    assert on_day(root, date(2031, 12, 31)).prices["online"].printed < 40
    assert on_day(root, date(2032, 1, 1)).prices["online"].printed == 40


def denied(*_: object, **__: object) -> int:
    """Refuse as a folder does that may not be written."""
    raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))


def full(_: int) -> None:
    """Refuse as a disk does that is full."""
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


@pytest.mark.parametrize(
    ("name", "error", "words"),
    [("Path.replace", denied, "Permission denied"), ("os.fsync", full, "No space left on device")],
)
def test_a_book_that_cannot_be_written_is_refused(
    root: Path, monkeypatch: pytest.MonkeyPatch, name: str, error: Callable[..., object], words: str
) -> None:
    """A folder that may not be written and a full disk are named; the book is unchanged and no other file is left."""
    old, files = book_file(root).read_bytes(), listing(root)
    dearer(root, "reed", "30.00", LATER)
    calculated = calculate(root, LATER, quiet)
    with monkeypatch.context() as patched:
        patched.setattr(f"catalog_builder.cache.atomic_file.{name}", error)
        message = refused(lambda: record_prices(root, calculated, None))
    assert f"the book cannot be written ({words})" in message
    assert (book_file(root).read_bytes(), listing(root)) == (old, files)
    assert record_prices(root, calculated, None) == 3


def test_a_run_killed_in_between_leaves_no_trace(root: Path) -> None:
    """What a killed run had written beside the book is not read, and the next run is clean."""
    left = root / "content" / ".price_book.csv.new"
    left.write_bytes(book_file(root).read_bytes() + b"2031-05-21,pane--bri")
    dearer(root, "reed", "30.00", LATER)
    assert len(book_of(root).rows) == 3
    assert record(root, LATER) == 3
    assert not left.exists()
    assert len(book_of(root).rows) == 6
