"""The price book: read whole or not at all, added to without touching what stands there, and sealed."""

from __future__ import annotations

import re
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog_builder.build import calculate
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.records.reading.source import MOST_BYTES, Source
from catalog_builder.records.selling.book_keeping import add_rows, missing_end
from catalog_builder.records.selling.price_book import (
    COLUMNS,
    NO_PRICES,
    PriceBook,
    read_lines,
    read_price_book,
    written_lines,
)
from tests.book import (
    PANE,
    book_file,
    book_of,
    by_hand,
    cells_in,
    dearer,
    edited,
    record,
    recorded,
    refused,
    row,
)
from tests.studio import DAY, project
from tests.studio import record as pane

LATER = DAY + timedelta(days=30)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A studio with one product, its prices recorded on the usual day."""
    return recorded(tmp_path)


# Reading


def test_no_book_is_an_empty_book() -> None:
    """Without a file, and with an empty one, there is no row and no finding."""
    assert NO_PRICES.rows == ()
    assert read_price_book(Source("content/price_book.csv", " \n")).rows == ()


def test_a_row_by_hand_needs_four_cells(tmp_path: Path) -> None:
    """Day, variant, channel and price are enough, and a row without a seal is no finding."""
    book = book_of(by_hand(project(tmp_path, {"pane": pane()}), f"2031-01-01,{PANE},online,24.5"))
    assert [(entry.date, entry.price, entry.seal) for entry in book.rows] == [(date(2031, 1, 1), Decimal("24.5"), None)]
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
    """A row that cannot be read stops the build and is reported with its line; no row is skipped."""
    by_hand(project(tmp_path, {"pane": pane()}), f"2031-01-01,{PANE},online,20", cells, f"2031-03-01,{PANE},stall,21")
    message = refused(lambda: calculate(tmp_path, DAY, quiet))
    assert message.startswith(f"content/price_book.csv:3: {wrong}")
    assert f"3 | {cells}" in message


@pytest.mark.parametrize("kept", range(1, 60, 3))
def test_a_row_that_breaks_off_is_told_and_nothing_is_written(root: Path, kept: int) -> None:
    """Wherever a last row was cut off, it is reported with its line or its seal; the bytes stay as they are."""
    book_file(root).write_bytes(book_file(root).read_bytes()[:-kept])
    cut = book_file(root).read_bytes()
    dearer(root, "reed", "30.00")
    if len(cells_in(root, ",")[-1]) == len(COLUMNS):
        whole = kept == 1 or cells_in(root, ",")[-1][-1] == ""
        assert [finding.code for finding in book_of(root).findings] == ([] if whole else ["B04"])
        return
    message = refused(lambda: record(root))
    assert message.startswith("content/price_book.csv:4: the last row of the book breaks off")
    assert "expected: 9 cells" in message
    assert book_file(root).read_bytes() == cut


def test_a_price_that_breaks_off_is_not_taken_for_another(tmp_path: Path) -> None:
    """The rest of 120.00 is not read as 12: a short last row without a line end is refused."""
    by_hand(project(tmp_path, {"pane": pane()}), f"2031-01-01,{PANE},online,20")
    whole = book_file(tmp_path).read_text(encoding="utf-8").replace(",price\n", ",price,why\n")
    book_file(tmp_path).write_text(whole + f"2031-02-01,{PANE},online,12", encoding="utf-8")
    assert "the last row of the book breaks off" in refused(lambda: book_of(tmp_path))
    book_file(tmp_path).write_text(whole + f"2031-02-01,{PANE},online,12\n", encoding="utf-8")
    assert book_of(tmp_path).rows[-1].price == 12


def test_a_book_may_outgrow_other_files(tmp_path: Path) -> None:
    """No row is taken out of a book: one that is larger than other files may be is read, and rows are added."""
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
    assert read_lines(written_lines(lines, "EUR")) == {
        "reed": (Decimal("0.33138"), Decimal("1.71428571")),
        "wire": (Decimal("0.25"), Decimal("1.2")),
        "step:cut": (Decimal("7.2"), Decimal("0.5")),
    }


def history(book: PriceBook) -> list[tuple[str, str]]:
    """Day and price of the online channel, in the book's own order of days."""
    return [(entry.date.isoformat(), str(entry.price)) for entry in book.history(PANE, "online")]


def test_of_two_rows_of_a_day_the_last_counts(tmp_path: Path) -> None:
    """Rows may be in any order of days; of one day, the last of the file is the price."""
    rows = ("2031-03-01,21", "2031-01-01,20", "2031-03-01,23", "2031-02-01,22")
    dated = [f"{day},{PANE},online,{price}" for day, price in (cells.split(",") for cells in rows)]
    book = book_of(by_hand(project(tmp_path, {"pane": pane()}), *dated))
    assert history(book) == [("2031-01-01", "20"), ("2031-02-01", "22"), ("2031-03-01", "23")]


# Seals


@pytest.mark.parametrize(
    ("old", "new"),
    [("online,", "stall,"), (DAY.isoformat(), "2031-05-19"), ("first prices", "first price"), (",1.5,", ",1.6,")],
)
def test_a_row_that_was_edited_is_told(root: Path, old: str, new: str) -> None:
    """A row changed after it was written is reported with its line, once, and counts as it is."""

    def change(lines: list[str]) -> None:
        assert old in lines[1]
        lines[1] = lines[1].replace(old, new)

    edited(root, change)
    book = book_of(root)
    assert [(finding.code, str(finding.place)) for finding in book.findings] == [("B04", "content/price_book.csv:2")]
    assert len(book.rows) == 3


def test_an_edited_price_is_told_and_published(root: Path) -> None:
    """The book's word goes first even where it was edited; the build says so."""
    edited(root, lambda lines: lines.__setitem__(1, re.sub(r"online,[\d.]+", "online,17.00", lines[1])))
    calculated = calculate(root, DAY, quiet)
    assert str(calculated.calculations[0].prices["online"].printed) == "17.00"
    assert [finding.place.line for finding in calculated.findings if finding.code == "B04"] == [2]


def test_a_row_that_was_taken_out_is_told(root: Path) -> None:
    """Where a row is gone, the seal of the next one no longer fits."""
    edited(root, lambda lines: lines.pop(2))
    assert [finding.place.line for finding in book_of(root).findings] == [3]


def test_last_rows_that_were_taken_out_are_told(root: Path) -> None:
    """No later seal can show it: the output keeps a copy of the row that was written last."""
    assert list(missing_end(root, book_of(root))) == []
    edited(root, lambda lines: lines.pop())
    assert book_of(root).findings == ()
    (finding,) = (finding for finding in calculate(root, DAY, quiet).worded_findings if finding.code == "B04")
    assert f"{PANE} in trade from 20 May 2031 was written last" in finding.text
    dearer(root, "reed", "30.00", LATER)
    record(root, LATER)
    assert list(missing_end(root, book_of(root))) == []


def test_a_book_that_is_gone_is_told(root: Path) -> None:
    """A book without any of its rows is told like one without its last."""
    book_file(root).unlink()
    assert [finding.code for finding in calculate(root, DAY, quiet).findings if finding.code[0] == "B"] == ["B04"]


def test_two_rows_from_one_day_are_told(root: Path) -> None:
    """Of two prices from one day the last counts, as the finding says, with the line; of equal ones nothing is said."""
    edited(
        root,
        lambda lines: lines.extend([f"2031-06-01,{PANE},online,30.00,,,,,", f"2031-06-01,{PANE},online,31.00,,,,,"]),
    )
    (finding,) = book_of(root).findings
    assert (finding.code, finding.place.line) == ("B08", 6)
    assert str(book_of(root).last(PANE, "online", date(2031, 6, 1)).price) == "31.00"  # type: ignore[union-attr]
    edited(root, lambda lines: lines.__setitem__(5, lines[4]))
    assert book_of(root).findings == ()


def test_rows_recorded_twice_on_a_day_are_meant(root: Path) -> None:
    """What the maker recorded again on the same day takes the first price's place without a finding."""
    dearer(root, "reed", "30.00", DAY)
    assert record(root, DAY) == 3
    assert book_of(root).findings == ()


def test_rows_that_changed_places_are_told(root: Path) -> None:
    """Each seal holds the one before it, so that the order of rows is sealed too."""
    edited(root, lambda lines: lines.insert(1, lines.pop(3)))
    assert "B04" in {finding.code for finding in book_of(root).findings}


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
    add_rows(root, NO_PRICES, [row(str(price), why=why), row("9.10")], DAY)
    book = book_of(root)
    assert all(re.fullmatch("[a-p]{12}", entry.seal or "") for entry in book.rows)
    assert (book.findings, book.rows[0].why, book.rows[0].price) == ((), why, price)
