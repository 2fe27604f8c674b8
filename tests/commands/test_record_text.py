"""What is written into a record's header is read back as it was."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from catalog_builder.commands.record_text import listing, marks_lines, number, scalar
from catalog_builder.records.drawing.marks import Marks
from catalog_builder.records.reading.header import read_header
from catalog_builder.records.reading.source import Source

# What a line of a record may hold: characters that can be printed, blanks single and inside.
LINES = some.text(
    some.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp", "Cn", "Co")), min_size=1, max_size=30
).map(lambda text: " ".join(text.split()))
COORDINATES = some.floats(-1_000_000, 1_000_000).map(lambda value: round(value, 3))
POINTS = some.tuples(COORDINATES, COORDINATES)


def read(*lines: str) -> dict[str, object]:
    """The values of a header of these lines."""
    return read_header(Source("product.md", "\n".join(["---", *lines, "---", ""]))).values


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("Sea holly", "Sea holly"),
        ("7", "7"),
        ("007", '"007"'),
        ("7a", '"7a"'),
        ("true", '"true"'),
        ("Null", '"Null"'),
        ("a, b", '"a, b"'),
        ("it's: #1", '"it\'s: #1"'),
        ("été", "été"),
        ("", '""'),
    ],
)
def test_a_text_is_quoted_where_it_must_be(text: str, written: str) -> None:
    """Plain words and whole numbers stand as they are; what YAML would take for something else does not."""
    assert scalar(text) == written


@given(LINES.filter(bool))
@settings(max_examples=300, deadline=None)
def test_every_text_comes_back(text: str) -> None:
    """Alone, in a list and as a key: the reader gives the text, or the whole number that it is."""
    value = read(f"key: {scalar(text)}", f"list: [{scalar(text)}]", f"{scalar(text)}: x")
    assert str(value["key"]) == text
    assert [str(part) for part in value["list"]] == [text]  # type: ignore[attr-defined]
    assert text in map(str, value)


@given(some.floats(-1e6, 1e6))
@settings(max_examples=200, deadline=None)
def test_every_number_comes_back(value: float) -> None:
    """A number is written without an exponent and loses no digit."""
    assert "e" not in number(value).lower()
    assert float(number(value)) == value


def test_numbers_are_short() -> None:
    """No zeros at the end, no sign of a zero."""
    assert [number(value) for value in (35.0, 0.5, -0.0, 1200.0, 1e-7)] == ["35", "0.5", "0", "1200", "0.0000001"]
    assert listing(["1", "2"]) == "[1, 2]"


MARKS = some.fixed_dictionaries(
    {},
    optional={
        "fold": some.tuples(COORDINATES, COORDINATES, COORDINATES, COORDINATES),
        "rings": some.lists(POINTS, max_size=2),
        "open": some.lists(POINTS, max_size=2),
        "wires": some.lists(
            some.fixed_dictionaries(
                {"points": some.lists(POINTS, min_size=2, max_size=3)}, optional={"material": some.just("wire-18")}
            ),
            max_size=2,
        ),
        "pieces": some.lists(
            some.fixed_dictionaries(
                {"at": POINTS},
                optional={
                    "number": LINES.filter(bool),
                    "glass": LINES.filter(bool),
                    "grain": some.one_of(some.just("along"), some.integers(-360, 360)),
                },
            ),
            max_size=3,
        ),
        "joins": some.lists(
            some.fixed_dictionaries(
                {"line": some.tuples(COORDINATES, COORDINATES, COORDINATES, COORDINATES)},
                optional={"part": some.just("vane")},
            ),
            max_size=2,
        ),
    },
)


@given(MARKS)
@settings(max_examples=150, deadline=None)
def test_all_marks_come_back(values: dict[str, object]) -> None:
    """Every kind of mark is written so that the reader makes the same of it."""
    from decimal import Decimal

    def exact(value: object) -> object:
        if isinstance(value, float):
            return Decimal(repr(value))
        if isinstance(value, dict):
            return {key: exact(part) for key, part in value.items()}
        return [exact(part) for part in value] if isinstance(value, list | tuple) else value

    marks = Marks.model_validate(exact(values))
    again = read(*marks_lines(marks))["marks"]
    assert Marks.model_validate(again or {}) == marks
