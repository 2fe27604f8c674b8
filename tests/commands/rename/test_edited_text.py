"""Names changed in texts: tables as any spreadsheet saves them, headers, TOML and drawings; all else byte for byte."""

from __future__ import annotations

import csv
from io import StringIO

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog_builder.commands.rename.edited_text import (
    edited_drawing,
    edited_header,
    edited_table,
    edited_tables_of,
    edited_values,
)
from catalog_builder.records.reading.cell_spans import cell_spans


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("product,note\nleaf,leaf\n", "product,note\nash,leaf\n"),
        ('product;note\r\n "leaf";x\r\n', None),
        ('product;note\r\n"leaf";"a;\r\nleaf"\r\n\r\n;leaf\r\n', 'product;note\r\n"ash";"a;\r\nleaf"\r\n\r\n;leaf\r\n'),
        ("\ufeffsep=;\nnote;product\nleaf; leaf \n", "\ufeffsep=;\nnote;product\nleaf; ash \n"),
        ('note\tproduct\n"say ""leaf"""\tleaf', 'note\tproduct\n"say ""leaf"""\tash'),
        ("product,note\rleaf,\r", "product,note\rash,\r"),
        ("product\nleaf-two\n", "product\nleaf-two\n"),
    ],
    ids=["plain", "blank_before_mark", "quoted", "marked", "tab", "old_line_ends", "longer_name"],
)
def test_a_cell_of_a_table_is_changed_alone(text: str, expected: str | None) -> None:
    """Line ends, quotation marks, blanks and a byte order mark stay; a text that holds the name by chance does too."""
    new = edited_table(text, lambda cells: {"product": "ash"} if cells.get("product") == "leaf" else {})
    assert new == (text if expected is None else expected)


@given(
    st.lists(
        st.lists(
            st.text(st.characters(codec="utf-8", exclude_characters="\0\r\n"), max_size=6), min_size=2, max_size=2
        ),
        max_size=6,
    ),
    st.sampled_from(",;\t"),
)
def test_cells_are_those_of_a_reader_of_csv(rows: list[list[str]], separator: str) -> None:
    """What Python's own reader makes of a text, these spans do too."""
    file = StringIO(newline="")
    csv.writer(file, delimiter=separator, lineterminator="\r\n").writerows(rows)
    text = file.getvalue()
    read = [row for row in csv.reader(StringIO(text, newline=""), delimiter=separator) if any(c.strip() for c in row)]
    assert [[cell.value for cell in row] for row in cell_spans(text, separator)] == [
        [cell.strip() for cell in row] for row in read
    ]


def test_a_header_keeps_its_comments_and_its_marks() -> None:
    """Only the key or value at the place is changed, in the writing that it has."""
    text = "---\n# black\ntitle: black\nfinishes: [ 'black', copper ] # black\nsizes: {black: 1 mm}\n---\nblack\n"
    text = text.replace("\n", "\r\n")
    new = edited_header(
        text,
        lambda path, name, _: "dark" if name == "black" and path[0] in ("finishes", "sizes") else name,
    )
    assert new == text.replace("'black'", "'dark'").replace("{black:", "{dark:")


def test_a_name_that_yaml_reads_otherwise_is_written_in_marks() -> None:
    """The word no would be no text in older readers."""
    assert edited_header("---\na: b\n---\n", lambda _, __, is_key: "a" if is_key else "true") == '---\na: "true"\n---\n'


def test_tables_of_toml_are_called_otherwise() -> None:
    """A table and those in it; one that begins alike, and a title, stay."""
    text = (
        "# black\n[finishes.black]\ntitle = 'black'\n[finishes . \"black\".steps.dip]\nitem = 1\n[finishes.black-wax]\n"
    )
    assert edited_tables_of(text, "finishes", "black", "dark") == (
        "# black\n[finishes.dark]\ntitle = 'black'\n[finishes . \"dark\".steps.dip]\nitem = 1\n[finishes.black-wax]\n"
    )


def test_values_of_toml_keep_comments_and_order() -> None:
    """A string in a table, a list, or a table of a list; line ends stay."""
    text = (
        '# old\r\nb = "old" # old\r\na = ["x", "old"] # two\r\n\r\n[[make]]\r\nproduct = "old"\r\ncount = 1 # old\r\n'
    )
    new = edited_values(text, lambda _, value: "new" if value == "old" else value)
    assert new == text.replace('"old"', '"new"')


def test_the_material_of_a_wire_in_a_drawing() -> None:
    """The attribute alone is changed, in either kind of marks."""
    text = """<path data-material="wire" id="wire"/><path data-material = 'wire'/><path data-material="wire-2"/>"""
    assert edited_drawing(text, "wire", "brass") == (
        """<path data-material="brass" id="wire"/><path data-material = 'brass'/><path data-material="wire-2"/>"""
    )
