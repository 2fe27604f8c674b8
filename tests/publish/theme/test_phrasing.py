"""Phrases in words: numbers, units, money, lists and plural forms as a language writes them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from catalog_builder.phrase import Money, Number, Value, phrase, quantity
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording

LABELS = {
    "words": {
        "so": "({value})",
        "ring": "Ring",
        "pieces_one": "{count} piece",
        "pieces_many": "{count} pieces",
    }
}


def said(language: str, value: Value) -> str:
    """Word one value in a language, in euros."""
    phrasing = Phrasing(LABELS, Wording("EUR", language, "metric"))
    return phrasing.say(phrase("words.so", value=value))


@pytest.mark.parametrize(
    ("value", "english", "german"),
    [
        (quantity(1234.56, "g", 1), "(1,234.6 g)", "(1.234,6 g)"),
        (quantity(16.04, "degrees", 1), "(16°)", "(16°)"),
        (quantity(0.125, "share"), "(0%)", "(0\u00a0%)"),
        (quantity(0.125, "share", 3), "(12.5%)", "(12,5\u00a0%)"),
        (quantity(3, "each"), "(3)", "(3)"),
        (Number(Decimal("0.25"), 2), "(0.25)", "(0,25)"),
        (Money(Decimal("12.5")), "(€12.50)", "(12,50\u00a0€)"),
        (Money(Decimal("0.0471"), fine=True), "(€0.0471)", "(0,0471\u00a0€)"),
        (date(2026, 3, 4), "(March 4, 2026)", "(4. März 2026)"),
        (("Moon", "Sun", "Star"), "(Moon, Sun, and Star)", "(Moon, Sun und Star)"),
        (phrase("words.ring"), "(Ring)", "(Ring)"),
        ("Möwe 1.5", "(Möwe 1.5)", "(Möwe 1.5)"),
    ],
)
def test_a_value_is_written_as_the_language_writes_it(value: Value, english: str, german: str) -> None:
    """By CLDR; a text of the maker's stands as it is."""
    assert (said("en", value), said("de", value)) == (english, german)


@pytest.mark.parametrize(
    ("language", "count", "expected"),
    [("en", 1, "1 piece"), ("en", 0, "0 pieces"), ("en", 2, "2 pieces"), ("fr", 0, "0 piece"), ("fr", 2, "2 pieces")],
)
def test_the_plural_follows_the_number(language: str, count: int, expected: str) -> None:
    """By CLDR's plural rules: French has the singular for none, too."""
    phrasing = Phrasing(LABELS, Wording("EUR", language, "metric"))
    assert phrasing.say(phrase("words.pieces", count=count)) == expected
