"""Phrases in English, as the theme daylight words them, for a studio that sells in euros."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from catalog_builder.phrase import Phrase
from catalog_builder.publish.theme.labels import read_labels
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.reading.source import Source

DAYLIGHT = Path(__file__).resolve().parent.parent / "themes" / "daylight"


@cache
def phrasing(language: str = "en") -> Phrasing:
    """What words phrases in a language."""
    return Phrasing(read_labels([DAYLIGHT], language, Source("", "")), Wording("EUR", language, "metric"))


def english(text: Phrase | str) -> str:
    """Give a phrase in English."""
    return phrasing().show(text)
