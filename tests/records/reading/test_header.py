"""The header of a record: YAML's core schema, with the line of every key."""

from __future__ import annotations

from decimal import Decimal

import pytest

from catalog_builder.mistake import MistakeError
from catalog_builder.records.reading.header import read_header
from catalog_builder.records.reading.source import Source

# YAML 1.2.2, chapter 10.3 (the core schema), from memory; the traps are those of YAML 1.1, which PyYAML follows.
VALUES = [
    ("no", "no"),
    ("Yes", "Yes"),
    ("on", "on"),
    ("true", True),
    ("False", False),
    ("null", None),
    ("~", None),
    ("", None),
    ("012", 12),
    ("-7", -7),
    ("0x1F", "0x1F"),
    ("0o17", "0o17"),
    ("1_000", "1_000"),
    ("1:30", "1:30"),
    ("190:20:30", "190:20:30"),
    ("12.50", Decimal("12.50")),
    (".5", Decimal("0.5")),
    ("1e3", Decimal("1e3")),
    ("12,5", "12,5"),
    (".inf", ".inf"),
    (".nan", ".nan"),
    ("2026-03-14", "2026-03-14"),
    ("80 mm", "80 mm"),
    ("'no'", "no"),
    ('"012"', "012"),
    ("[black, no, 012]", ["black", "no", 12]),
    ("{shell: sea, band: 5}", {"shell": "sea", "band": 5}),
    ("Limpet # on a rock", "Limpet"),
    ("9999999999999999999999", Decimal("9999999999999999999999")),
]


@pytest.mark.parametrize(("text", "value"), VALUES)
def test_a_value_means_what_a_maker_means_by_it(text: str, value: object) -> None:
    """`no` is a word, 012 is twelve, 1:30 is a text: nothing is turned into something else."""
    read_value = read_header(Source("product.md", f"---\nkey: {text}\n---\n")).values["key"]
    assert (read_value, type(read_value)) == (value, type(value))


def test_every_key_and_item_has_its_line() -> None:
    """Lines are those of the file, the line of dashes counted; the body knows its own first line."""
    text = (
        "---\n# a comment\ntitle: |\n  one\n  two\nglass:\n  tide:\n    pieces: {a: b}\n"
        "photos:\n  - file: x\n  - {file: y}\n---\nText\n"
    )
    header = read_header(Source("product.md", text))
    assert header.lines == {
        (): 1,
        ("title",): 3,
        ("glass",): 6,
        ("glass", "tide"): 7,
        ("glass", "tide", "pieces"): 8,
        ("glass", "tide", "pieces", "a"): 8,
        ("photos",): 9,
        ("photos", 0): 10,
        ("photos", 0, "file"): 10,
        ("photos", 1): 11,
        ("photos", 1, "file"): 11,
    }
    assert header.values["title"] == "one\ntwo\n"
    assert (header.body.first_line, header.body.text, header.body.place(13).text) == (13, "Text\n", "Text")


def test_an_empty_header_holds_nothing() -> None:
    """Two lines of dashes with nothing, or only comments, between them are a header."""
    assert read_header(Source("product.md", "---\n---\nText")).values == {}
    assert read_header(Source("product.md", "---\n# later\n---\n")).values == {}


def test_all_doubled_keys_are_told_at_once() -> None:
    """Each key that stands twice is a mistake of its own, on the line where it stands again."""
    text = "---\na: 1\nb: {c: 1, c: 2}\na: 2\n---\n"
    with pytest.raises(MistakeError) as caught:
        read_header(Source("product.md", text))
    assert [(mistake.place.line, mistake.wrong) for mistake in caught.value.mistakes] == [
        (3, "the key 'c' stands twice (first on line 3)"),
        (4, "the key 'a' stands twice (first on line 2)"),
    ]
