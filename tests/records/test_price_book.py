"""The price book: read whole or not at all, added to without touching what stands there, and sealed."""

from __future__ import annotations

import csv
import errno
import io
import multiprocessing
import os
import re
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog_builder.build import quiet, reckon
from catalog_builder.mistake import MistakeError
from catalog_builder.price_report import record_prices
from catalog_builder.records.book_keeping import add_rows
from catalog_builder.records.price_book import COLUMNS, PriceBook, read_lines, read_price_book, written_lines
from catalog_builder.records.source import MOST_BYTES, Source
from tests.book import PANE, book_file, book_of, by_hand, dearer, on_day, record, resaved, row
from tests.studio import DAY, project
from tests.studio import record as pane

LATER = DAY + timedelta(days=30)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A studio with one product, its prices recorded on the usual day."""
    project(tmp_path, {"pane": pane()})
    assert record(tmp_path, why="first prices") == 3
    return tmp_path


def refused(change: Callable[[], object]) -> str:
    """What is told when something is refused: the one mistake, in words."""
    with pytest.raises(MistakeError) as caught:
        change()
    (mistake,) = caught.value.mistakes
    assert mistake.place.path == "content/price_book.csv"
    return mistake.worded()


def cells_in(root: Path, separator: str) -> list[list[str]]:
    """The cells of every row but the first, by the csv module alone."""
    text = book_file(root).read_text(encoding="utf-8-sig").replace("\r\n", "\n")
    return list(csv.reader(io.StringIO(text), delimiter=separator))[1:]


def listing(root: Path) -> list[str]:
    """What lies in the content folder, hidden files too."""
    return sorted(path.name for path in (root / "content").iterdir())


# Reading


def test_no_book_is_an_empty_book() -> None:
    """Without a file, and with an empty one, there is no row and nothing is amiss."""
    assert read_price_book(None).rows == ()
    assert read_price_book(Source("content/price_book.csv", " \n")).rows == ()


def test_a_row_by_hand_needs_four_cells(tmp_path: Path) -> None:
    """Day, variant, channel and price are enough, and a row without a seal is no finding."""
    book = book_of(by_hand(project(tmp_path, {"pane": pane()}), f"2031-01-01,{PANE},online,24.5"))
    assert [(one.date, one.price, one.seal) for one in book.rows] == [(date(2031, 1, 1), Decimal("24.5"), None)]
    assert book.findings == ()


@pytest.mark.parametrize(
    ("cells", "wrong"),
    [
        ("2031-02-30,pane,online,20", "date: '2031-02-30' is not a date"),
        ("3/4/2031,pane,online,20", "date: '3/4/2031' is not a date that can be read in one way only"),
        ("2031-02-03,pane,online,twenty", "price: 'twenty' is not a number"),
        ("2031-02-03,pane,online,-20", "price: '-20' is less than nothing"),
        ("2031-02-03,pane,online", "the key 'price' is missing"),
        ("2031-02-03,pane,online,20,30", "the row has 1 more cell than there are columns"),
    ],
)
def test_a_damaged_row_is_told_with_its_line(tmp_path: Path, cells: str, wrong: str) -> None:
    """A row that cannot be read stops the build and is told with its line; no row is passed over."""
    by_hand(project(tmp_path, {"pane": pane()}), f"2031-01-01,{PANE},online,20", cells, f"2031-03-01,{PANE},stall,21")
    told = refused(lambda: reckon(tmp_path, DAY, quiet))
    assert told.startswith(f"content/price_book.csv:3: {wrong}")
    assert f"3 | {cells}" in told


@pytest.mark.parametrize("kept", range(1, 60, 3))
def test_a_row_that_breaks_off_is_told_and_nothing_is_written(root: Path, kept: int) -> None:
    """Wherever a last row was cut off, it is told with its line, or its seal does; the bytes stay as they are."""
    book_file(root).write_bytes(book_file(root).read_bytes()[:-kept])
    cut = book_file(root).read_bytes()
    dearer(root, "reed", "30.00")
    if len(cells_in(root, ",")[-1]) == len(COLUMNS):
        whole = kept == 1 or cells_in(root, ",")[-1][-1] == ""
        assert [one.code for one in book_of(root).findings] == ([] if whole else ["B04"])
        return
    told = refused(lambda: record(root))
    assert told.startswith("content/price_book.csv:4: the last row of the book breaks off")
    assert "expected: 9 cells" in told
    assert book_file(root).read_bytes() == cut
    assert ".price_book.csv.writing" not in listing(root)


def test_a_price_that_breaks_off_is_not_taken_for_another(tmp_path: Path) -> None:
    """What is left of 120.00 is not taken for 12: a short last row without a line end is told."""
    by_hand(project(tmp_path, {"pane": pane()}), f"2031-01-01,{PANE},online,20")
    whole = book_file(tmp_path).read_text(encoding="utf-8").replace(",price\n", ",price,why\n")
    book_file(tmp_path).write_text(whole + f"2031-02-01,{PANE},online,12", encoding="utf-8")
    assert "the last row of the book breaks off" in refused(lambda: book_of(tmp_path))
    book_file(tmp_path).write_text(whole + f"2031-02-01,{PANE},online,12\n", encoding="utf-8")
    assert book_of(tmp_path).rows[-1].price == 12


def test_a_book_may_outgrow_other_files(tmp_path: Path) -> None:
    """A book is never cut short: one that is larger than any other file may be is read and added to."""
    project(tmp_path, {"pane": pane()})
    line = f"2031-01-01,{PANE},online,20.00," + "x" * 1990
    many = MOST_BYTES // len(line) + 2
    text = "date,variant,channel,price,why,times,plus,made_of,seal\n" + f"{line}\n" * many
    book_file(tmp_path).write_text(text, encoding="utf-8")
    assert record(tmp_path) == 3
    assert len(book_of(tmp_path).rows) == many + 3


def test_lines_of_a_cost_read_as_they_were_written() -> None:
    """What a cost was made of keeps eight digits; a material that is used in two ways counts with both amounts."""
    lines = [
        ("reed", Decimal("0.331380"), "dm2", Decimal(12) / 7),
        ("wire", Decimal("0.2"), "m", Decimal("1.2")),
        ("wire", Decimal("0.05"), "m", Decimal("1.2")),
        ("step:cut", Decimal("7.20"), "min", Decimal("0.5")),
    ]
    assert read_lines(written_lines(lines)) == {
        "reed": (Decimal("0.33138"), Decimal("1.71428571")),
        "wire": (Decimal("0.25"), Decimal("1.2")),
        "step:cut": (Decimal("7.2"), Decimal("0.5")),
    }


# Adding


def test_rows_are_added_behind_what_stands_there(root: Path) -> None:
    """What stood in the book stands unchanged byte for byte, and new rows follow it."""
    old = book_file(root).read_bytes()
    dearer(root, "reed", "30.00", LATER)
    assert record(root, LATER, "reed is dearer") == 3
    new = book_file(root).read_bytes()
    assert new.startswith(old)
    assert [one.why for one in book_of(root).rows] == ["first prices"] * 3 + ["reed is dearer"] * 3
    assert book_of(root).findings == ()


SAVED: dict[str, tuple[str, Callable[[str], str], bytes]] = {
    "CRLF": (",", str, b""),
    "a byte order mark": (",", str, b"\xef\xbb\xbf"),
    "semicolons": (";", str, b""),
    "tabs": ("\t", str, b"\xef\xbb\xbf"),
    "decimal commas": (";", lambda cell: re.sub(r"^(\d+)\.(\d+)$", r"\1,\2", cell), b"\xef\xbb\xbf"),
    "zeros left out": (";", lambda cell: re.sub(r"^(\d+),?\.(\d*?)0+$", r"\1.\2", cell).rstrip("."), b""),
    "days first": (";", lambda cell: re.sub(r"^(\d{4})-(\d\d)-(\d\d)$", r"\3.\2.\1", cell), b""),
}


@pytest.mark.parametrize("way", SAVED)
def test_a_book_saved_by_a_spreadsheet_is_added_to_in_its_own_hand(root: Path, way: str) -> None:
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
    assert [one.date for one in book_of(root).rows] == [DAY] * 3 + [LATER] * 3
    assert book_of(root).findings == ()


def test_a_book_without_room_for_a_column_is_not_added_to(tmp_path: Path) -> None:
    """Where the first row does not name every column, recording is refused; with the names added it goes on."""
    by_hand(project(tmp_path, {"pane": pane()}), f"2031-01-01,{PANE},online,20.00")
    old = book_file(tmp_path).read_text(encoding="utf-8")
    told = refused(lambda: record(tmp_path))
    assert "the first row of the book does not name the columns times, plus, why, made_of, seal" in told
    assert book_file(tmp_path).read_text(encoding="utf-8") == old
    named = old.replace("price\n", "price,times,plus,why,made_of,seal\n")
    book_file(tmp_path).write_text(named, encoding="utf-8")
    record(tmp_path)
    assert book_file(tmp_path).read_text(encoding="utf-8").startswith(named)
    assert len(book_of(tmp_path).rows) == 4


@pytest.mark.parametrize("why", ["", "x" * 2001, "bell \x07"])
def test_words_that_cannot_stand_in_the_book_are_refused(tmp_path: Path, why: str) -> None:
    """Words beside a price that are no line of text are told, and no book is begun."""
    project(tmp_path, {"pane": pane()})
    with pytest.raises(MistakeError, match="--why: why: "):
        record(tmp_path, why=why)
    assert "price_book.csv" not in listing(tmp_path)


# Seals


def edited(root: Path, change: Callable[[list[str]], None]) -> None:
    """Change the rows of the book, the first row being the columns."""
    lines = book_file(root).read_text(encoding="utf-8").splitlines()
    change(lines)
    book_file(root).write_text("\n".join(lines) + "\n", encoding="utf-8")


@pytest.mark.parametrize(
    ("old", "new"),
    [("online,", "stall,"), (DAY.isoformat(), "2031-05-19"), ("first prices", "first price"), (",1.5,", ",1.6,")],
)
def test_a_row_that_was_edited_is_told(root: Path, old: str, new: str) -> None:
    """A row changed after it was written is told with its line, once, and counts as it stands."""

    def change(lines: list[str]) -> None:
        assert old in lines[1]
        lines[1] = lines[1].replace(old, new)

    edited(root, change)
    book = book_of(root)
    assert [(one.code, str(one.place)) for one in book.findings] == [("B04", "content/price_book.csv:2")]
    assert len(book.rows) == 3


def test_an_edited_price_is_told_and_published(root: Path) -> None:
    """The book's word goes first even where it was edited; the build says so."""
    edited(root, lambda lines: lines.__setitem__(1, re.sub(r"online,[\d.]+", "online,17.00", lines[1])))
    reckoned = reckon(root, DAY, quiet)
    assert str(reckoned.reckonings[0].prices["online"].printed) == "17.00"
    assert [one.place.line for one in reckoned.findings if one.code == "B04"] == [2]


def test_a_row_that_was_taken_out_is_told(root: Path) -> None:
    """Where a row is gone, the seal of the next one no longer fits."""
    edited(root, lambda lines: lines.pop(2))
    assert [one.place.line for one in book_of(root).findings] == [3]


def test_rows_that_changed_places_are_told(root: Path) -> None:
    """Each seal holds the one before it, so that the order of rows is sealed too."""
    edited(root, lambda lines: lines.insert(1, lines.pop(3)))
    assert "B04" in {one.code for one in book_of(root).findings}


def test_a_row_by_hand_breaks_no_seal(root: Path) -> None:
    """A row without a seal counts like any other, and those after it are sealed as if it were not there."""
    edited(root, lambda lines: lines.append(f"2031-06-01,{PANE},online,30.00,,,,,"))
    dearer(root, "reed", "30.00", LATER)
    record(root, LATER)
    book = book_of(root)
    assert book.findings == ()
    assert str(book.last(PANE, "online", date(2031, 6, 1)).price) == "30.00"  # type: ignore[union-attr]


@settings(derandomize=True, database=None, deadline=None, max_examples=100)
@given(price=st.decimals(Decimal("0.01"), Decimal(9999), places=2), why=st.sampled_from([None, "a; b", 'so "called"']))
def test_no_seal_is_taken_for_a_number(tmp_path_factory: pytest.TempPathFactory, price: Decimal, why: str) -> None:
    """A seal has letters alone, so that no spreadsheet makes another number of it; what is sealed reads as sealed."""
    root = tmp_path_factory.mktemp("book")
    (root / "content").mkdir()
    add_rows(root, read_price_book(None), [row(str(price), why=why), row("9.10")], DAY)
    book = book_of(root)
    assert all(re.fullmatch("[a-p]{12}", one.seal or "") for one in book.rows)
    assert (book.findings, book.rows[0].why, book.rows[0].price) == ((), why, price)


# Two at once, and what goes wrong on the way


def add_one(root: str, number: int, began: object) -> str:
    """Add a row in a process of its own; what came of it."""
    book = read_price_book(None)
    began.wait()  # type: ignore[attr-defined]
    try:
        add_rows(Path(root), book, [row(f"{number}.00")], DAY)
    except MistakeError as fault:
        return fault.mistakes[0].wrong
    return "written"


def test_of_runs_at_once_one_writes(tmp_path: Path) -> None:
    """Of several runs that write at once one does, the others say why not, and the book is whole."""
    (tmp_path / "content").mkdir()
    context = multiprocessing.get_context("spawn")
    with context.Manager() as manager, context.Pool(4) as pool:
        began = manager.Barrier(4)
        told = pool.starmap(add_one, [(str(tmp_path), number, began) for number in range(1, 5)], chunksize=1)
    assert told.count("written") == 1
    assert set(told) - {"written"} <= {
        "another run is writing the price book",
        "the book was changed while this was being worked out",
    }
    assert len(book_of(tmp_path).rows) == 1
    assert listing(tmp_path) == ["price_book.csv"]


def test_a_lock_that_was_left_behind_is_told(root: Path) -> None:
    """A run that was ended in between leaves its lock: the next one writes nothing and names the file to delete."""
    old = book_file(root).read_bytes()
    lock = root / "content" / ".price_book.csv.writing"
    lock.touch()
    dearer(root, "reed", "30.00", LATER)
    assert "if none is running, delete content/.price_book.csv.writing" in refused(lambda: record(root, LATER))
    assert book_file(root).read_bytes() == old
    assert lock.exists()
    lock.unlink()
    assert record(root, LATER) == 3


def test_a_book_changed_in_between_is_not_written(root: Path) -> None:
    """A row that came in while prices were worked out is not overwritten."""
    dearer(root, "reed", "30.00", LATER)
    reckoned = reckon(root, LATER, quiet)
    edited(root, lambda lines: lines.append(f"2031-06-01,{PANE},online,30.00,,,,,"))
    old = book_file(root).read_bytes()
    told = refused(lambda: record_prices(root, reckoned, None))
    assert "the book was changed while this was being worked out" in told
    assert book_file(root).read_bytes() == old


def test_a_book_taken_away_in_between_is_not_begun_anew(root: Path) -> None:
    """Where the book is gone since it was read, no new one without its past is begun."""
    dearer(root, "reed", "30.00", LATER)
    reckoned = reckon(root, LATER, quiet)
    book_file(root).unlink()
    assert "the book was changed" in refused(lambda: record_prices(root, reckoned, None))
    assert not book_file(root).exists()


def test_a_clock_that_went_back_writes_nothing(root: Path) -> None:
    """Rows are written in the order of their days: an earlier day than the last one written is refused."""
    old = book_file(root).read_bytes()
    dearer(root, "reed", "30.00", date(2031, 1, 1))
    earlier = DAY - timedelta(days=1)
    told = refused(lambda: record(root, earlier))
    assert f"the book holds prices from {DAY}, later than {earlier}" in told
    assert "check this machine's clock" in told
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
    ("name", "fault", "words"),
    [("open", denied, "Permission denied"), ("fsync", full, "No space left on device")],
)
def test_a_book_that_cannot_be_written_is_told(
    root: Path, monkeypatch: pytest.MonkeyPatch, name: str, fault: Callable[..., object], words: str
) -> None:
    """A folder that may not be written and a full disk are told in words; the book stands and nothing lies about."""
    old, files = book_file(root).read_bytes(), listing(root)
    dearer(root, "reed", "30.00", LATER)
    reckoned = reckon(root, LATER, quiet)
    with monkeypatch.context() as patched:
        patched.setattr(f"catalog_builder.records.book_keeping.os.{name}", fault)
        told = refused(lambda: record_prices(root, reckoned, None))
    assert f"the book cannot be written ({words})" in told
    assert (book_file(root).read_bytes(), listing(root)) == (old, files)
    assert record_prices(root, reckoned, None) == 3


def test_a_run_killed_in_between_leaves_no_trace(root: Path) -> None:
    """What a killed run had written beside the book is not read, and the next run is clean."""
    left = root / "content" / ".price_book.csv.new"
    left.write_bytes(book_file(root).read_bytes() + b"2031-05-21,pane--bri")
    dearer(root, "reed", "30.00", LATER)
    assert len(book_of(root).rows) == 3
    assert record(root, LATER) == 3
    assert not left.exists()
    assert len(book_of(root).rows) == 6


def history(book: PriceBook) -> list[tuple[str, str]]:
    """Day and price of the online channel, in the book's own order of days."""
    return [(one.date.isoformat(), str(one.price)) for one in book.history(PANE, "online")]


def test_of_two_rows_of_a_day_the_last_counts(tmp_path: Path) -> None:
    """Rows may stand in any order of days; of one day, the last of the file is the price."""
    rows = ("2031-03-01,21", "2031-01-01,20", "2031-03-01,23", "2031-02-01,22")
    dated = [f"{day},{PANE},online,{price}" for day, price in (one.split(",") for one in rows)]
    book = book_of(by_hand(project(tmp_path, {"pane": pane()}), *dated))
    assert history(book) == [("2031-01-01", "20"), ("2031-02-01", "22"), ("2031-03-01", "23")]
