"""Phrases as they are kept between builds."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from pydantic import TypeAdapter, ValidationError

from catalog_builder.phrase import Money, Number, Phrase, phrase, quantity

KEPT = TypeAdapter(Phrase)


def test_a_phrase_is_read_as_it_was_written() -> None:
    """Each value comes back as the type that it was: a day as a day, and a title that looks like a day as a text."""
    said = phrase(
        "words.all",
        size=quantity(16.04, "mm", 1),
        share=Number(Decimal("0.50"), 2),
        price=Money(Decimal("12.50"), fine=True),
        day=date(2026, 3, 4),
        title="2026-03-04",
        count=3,
        hung=phrase("hardware.ring"),
        names=("Moon", phrase("words.part", name="Sun")),
    )
    assert KEPT.validate_json(KEPT.dump_json(said)) == said


@pytest.mark.parametrize(
    "kept",
    ['"words"', "3", "[]", '["Money",["Decimal","1"],false]', '["Phrase"]', '["Decimal","x"]', '["system","ls"]'],
)
def test_what_is_no_phrase_is_refused(kept: str) -> None:
    """An entry that is damaged, or of another version, is made anew."""
    with pytest.raises(ValidationError):
        KEPT.validate_json(kept)
