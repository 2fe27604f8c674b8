"""Tables as spreadsheets save them: the same values as the plain one, and the right lines."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from io import StringIO
from pathlib import Path

import pytest

from catalog_builder.mistake import MistakeError
from catalog_builder.records.materials import Materials, read_materials
from catalog_builder.records.reading.source import Source, read
from catalog_builder.records.reading.table import normalized_cells, read_table

MATERIALS = """material,title,kind,pack_size,pack_unit,thickness_mm,width_mm,alloy,has_grain,colour
sea,"Sea, streaky",glass,0.5,m2,3.25,,,yes,#3f8f86
foil,Foil,foil,33,m,0.0318,5.56,,no,
solder,Solder,solder,500,g,,,Sn60Pb40,,
"""
PRICES = """material,date,price,note
sea,2026-01-01,1234.50,
sea,2026-06-01,11.5,dearer
foil,2026-02-09,9.00,
solder,2026-01-01,25,
"""


def materials(folder: Path, change: Callable[[str], str], encoding: str = "utf-8") -> Materials:
    """Both tables, changed as a spreadsheet would and read from files."""
    for name, text in (("materials.csv", MATERIALS), ("material_prices.csv", PRICES)):
        (folder / name).write_bytes(change(text).encode(encoding))
    return read_materials(read(folder, folder / "materials.csv"), read(folder, folder / "material_prices.csv"))


def rewritten(text: str, delimiter: str, comma: bool = False, quoted: bool = False) -> str:
    """Write a table with another separator, with decimal commas or all cells in quotation marks on request."""
    out = StringIO()
    writer = csv.writer(out, delimiter=delimiter, quoting=csv.QUOTE_ALL if quoted else csv.QUOTE_MINIMAL)
    for row in csv.reader(StringIO(text)):
        writer.writerow([re.sub(r"^(\d+)\.(\d+)$", r"\1,\2", cell) if comma else cell for cell in row])
    return out.getvalue().replace("\r\n", "\n")


def pointed(text: str) -> str:
    """Dates as day.month.year, the day without its zero."""
    return re.sub(r"(\d{4})-(\d\d)-(\d\d)", lambda match: f"{int(match[3])}.{match[2]}.{match[1]}", text)


def padded(text: str) -> str:
    """A row of blanks at the end of every row, and rows of nothing at the end: the sheet's used range."""
    return "".join(f"{line},,\n" for line in text.splitlines()) + ",,,,\n,,,,\n"


WAYS: dict[str, Callable[[str], str]] = {
    "crlf": lambda text: text.replace("\n", "\r\n"),
    "cr": lambda text: text.replace("\n", "\r"),
    "semicolons": lambda text: rewritten(text, ";"),
    "semicolons and decimal commas": lambda text: rewritten(text, ";", comma=True),
    "tabs": lambda text: rewritten(text, "\t"),
    "tabs and decimal commas": lambda text: rewritten(text, "\t", comma=True),
    "every cell quoted": lambda text: rewritten(text, ",", quoted=True),
    "quoted decimal commas": lambda text: rewritten(text, ",", comma=True),
    "days before months": pointed,
    "all of it": lambda text: pointed(rewritten(text, ";", comma=True, quoted=True)).replace("\n", "\r\n"),
    "blanks about cells": lambda text: text.replace(",foil,", " , foil ,").replace(",9.00,", ",  9.00 ,"),
    "no line end at the end": str.rstrip,
    "padded": padded,
}


@pytest.mark.parametrize("way", WAYS)
def test_a_table_reads_the_same_however_it_is_saved(tmp_path: Path, way: str) -> None:
    """Separators, line ends, decimal commas, quotation marks and dates change nothing."""
    expected = materials(tmp_path, str)
    assert materials(tmp_path, WAYS[way]) == expected
    assert expected.rows["sea"].title == "Sea, streaky"
    assert (expected.rows["sea"].pack_size, expected.rows["sea"].thickness_mm) == (Decimal("0.5"), Decimal("3.25"))
    assert [price.price for price in expected.prices["sea"]] == [Decimal("1234.50"), Decimal("11.5")]


@pytest.mark.parametrize("way", WAYS)
def test_a_byte_order_mark_changes_nothing(tmp_path: Path, way: str) -> None:
    """A byte order mark at the start is not part of the first column's name."""
    assert materials(tmp_path, WAYS[way], "utf-8-sig") == materials(tmp_path, str)


@pytest.mark.parametrize("mark", [";", ",", "\t", "|"])
def test_a_first_line_may_name_the_separator(tmp_path: Path, mark: str) -> None:
    """`sep=;` is no row: the values are the same, and every row is one line further down."""
    plainly = materials(tmp_path, str)
    named = materials(tmp_path, lambda text: f"sep={mark}\n" + rewritten(text, mark))
    assert named.rows == plainly.rows
    assert named.prices["foil"][0].row == "material_prices.csv:5"


def test_thousands_parted_by_a_hard_blank_are_one_number(tmp_path: Path) -> None:
    """A no-break blank, as spreadsheets put between thousands, does not end the number."""
    spaced = materials(tmp_path, lambda text: text.replace("1234.50", "1\u202f234.50").replace(",500,", ",\u00a0500,"))
    assert spaced == materials(tmp_path, str)


def test_a_cell_of_several_lines_keeps_the_lines_of_the_rows_after_it() -> None:
    """A row has the number of the line on which it begins, also if its cells span several lines."""
    text = 'material,date,price,note\nsea,2026-01-01,10,"one\ntwo\n\nfour"\nsea,2026-02-01,11,\nsea,2026-03-01,dear,\n'
    table = read_table(Source("p.csv", text), {"material", "date", "price", "note"}, {"material"})
    assert [row.line for row in table.rows] == [2, 6, 7]
    assert table.rows[0].cells["note"] == "one\ntwo\n\nfour"
    with pytest.raises(MistakeError) as caught:
        read_materials(Source("materials.csv", MATERIALS), Source("p.csv", text))
    (mistake,) = caught.value.mistakes
    assert (str(mistake.place), mistake.place.text, mistake.marked) == ("p.csv:7", "sea,2026-03-01,dear,", "dear")


def test_a_line_separator_inside_a_cell_is_no_line_end() -> None:
    """U+2028, form feeds and their like stand inside a cell; lines are counted as editors count them."""
    text = "material,note\na,x\u2028y\x0bz\nb,w\n"
    table = read_table(Source("p.csv", text), {"material", "note"}, {"material"})
    assert [(row.line, row.cells["material"]) for row in table.rows] == [(2, "a"), (3, "b")]
    assert table.source.place(3).text == "b,w"


def test_blank_rows_are_passed_over_and_counted() -> None:
    """A row without a cell is no row, but its line counts."""
    table = read_table(Source("p.csv", "material\n\n  \na\n,\nb\n"), {"material"}, {"material"})
    assert [row.line for row in table.rows] == [4, 6]


NUMBERS = [
    (",", '"12,5"', "12.5"),
    (",", '"1,25"', "1.25"),
    (",", '"1,2345"', "1.2345"),
    (";", "1,250", "1.250"),
    (";", "-0,5", "-0.5"),
    ("\t", "12,5", "12.5"),
    (";", "1.250", "1.250"),
]


@pytest.mark.parametrize(("separator", "cell", "value"), NUMBERS)
def test_a_decimal_comma_is_read_where_it_can_be_nothing_else(separator: str, cell: str, value: str) -> None:
    """Where commas separate the cells, three digits after a comma could be thousands; else it is the decimal comma."""
    text = f"material{separator}price\na{separator}{cell}\n"
    table = read_table(Source("p.csv", text), {"material", "price"}, {"material"})
    assert normalized_cells(table, table.rows[0], {"price": "number"})["price"] == value


@pytest.mark.parametrize(("word", "value"), [("yes", True), ("JA", True), ("x", True), ("no", False), ("Faux", False)])
def test_yes_and_no_come_in_several_words(word: str, value: bool) -> None:
    """Spreadsheets write truth in the words of their language."""
    table = read_table(Source("p.csv", f"material,grain\na,{word}\n"), {"material", "grain"}, {"material"})
    assert normalized_cells(table, table.rows[0], {"grain": "yes"})["grain"] is value


def test_a_new_price_is_in_force_from_its_day_on() -> None:
    """The last row not after the day counts, whatever the order of the rows; before the first there is none."""
    prices = "material,date,price\nsea,2026-06-01,11.5\nfoil,2026-01-01,9\nsea,2026-01-01,10\nsea,2027-01-01,12\n"
    result = read_materials(Source("materials.csv", MATERIALS), Source("p.csv", prices))
    expected = {
        date(2025, 12, 31): None,
        date(2026, 1, 1): ("10", "p.csv:4"),
        date(2026, 5, 31): ("10", "p.csv:4"),
        date(2026, 6, 1): ("11.5", "p.csv:2"),
        date(2026, 12, 31): ("11.5", "p.csv:2"),
        date(2040, 1, 1): ("12", "p.csv:5"),
    }
    rows = {day: result.price("sea", day) for day in expected}
    assert {day: row and (str(row.price), row.row) for day, row in rows.items()} == expected
    assert result.price("solder", date(2026, 6, 1)) is None
