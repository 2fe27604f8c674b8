"""Sizes in words that say which side is which, rows of words, and prices without their zeros."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.phrase import joined
from catalog_builder.publish.theme.loading import read_theme
from catalog_builder.publish.theme.side_words import short_size_words, side_ranges, side_words
from catalog_builder.publish.theme.wording import Wording
from tests.publish.catalogue.test_descriptors import OFFER


@pytest.mark.parametrize(
    ("language", "units", "sides", "words"),
    [
        ("en-GB", "metric", (142.4, 118.0), "142 mm wide, 118 mm high"),
        ("en-GB", "metric", (142.4, 118.0, 60.0), "142 mm wide, 118 mm high, 60 mm deep"),
        ("en-US", "imperial", (142.4, 118.0), "5.6 in wide, 4.6 in high"),
        ("de-DE", "centimetres", (142.4, 118.0), "14,2 cm breit; 11,8 cm hoch"),
        ("fr-FR", "metric", (142.4, 118.0), "142 mm de large, 118 mm de haut"),
        ("es-ES", "metric", (142.4, 118.0, 60.0), "142 mm de ancho, 118 mm de alto, 60 mm de fondo"),
    ],
)
def test_sides_say_which_is_which(
    tmp_path: Path, language: str, units: str, sides: tuple[float, ...], words: str
) -> None:
    """A line may break between two sides, and nowhere in one."""
    said = side_words(read_theme(tmp_path, "daylight", language), Wording("EUR", language, units), *sides)
    mark = "; " if ";" in words else ", "
    assert said == mark.join(side.replace(" ", "\u00a0") for side in words.split(mark))


def test_sizes_of_several_pieces_are_said_from_the_least_to_the_most(tmp_path: Path) -> None:
    """Sides that read alike stand once."""
    theme, wording = read_theme(tmp_path, "daylight", "en-GB"), Wording("GBP", "en-GB", "metric")
    said = side_ranges(theme, wording, [(142.0, 118.2), (90.0, 117.8), (110.0, 118.0)])
    assert said.replace("\u00a0", " ") == "90–142 mm wide, 118 mm high"


def test_what_holds_a_comma_is_parted_by_semicolons() -> None:
    """What is empty is left out."""
    assert joined(["Small", "", "Sea and sand"]) == "Small, Sea and sand"
    assert joined(["Small", "Sea, sky and sand"]) == "Small; Sea, sky and sand"
    assert joined([]) == ""


@pytest.mark.parametrize(
    ("currency", "language", "amount", "short", "full"),
    [
        ("GBP", "en-GB", "135", "£135", "£135.00"),
        ("GBP", "en-GB", "1250.00", "£1,250", "£1,250.00"),
        ("GBP", "en-GB", "68.50", "£68.50", "£68.50"),
        ("GBP", "en-GB", "67.999", "£68", "£68.00"),
        ("EUR", "de-DE", "135", "135\u00a0€", "135,00\u00a0€"),
        ("CHF", "de-CH", "135", "CHF\u00a0135", "CHF\u00a0135.00"),
        ("JPY", "en-US", "135", "¥135", "¥135"),
        ("KWD", "en-US", "135.250", "KWD\u00a0135.250", "KWD\u00a0135.250"),
    ],
)
def test_a_whole_price_loses_its_zeros_where_buyers_read_it(
    currency: str, language: str, amount: str, short: str, full: str
) -> None:
    """Any other keeps all digits of its currency, and so does each amount where the studio wants its zeros."""
    assert Wording(currency, language, "metric", zero_cents=False).money(Decimal(amount)) == short
    assert Wording(currency, language, "metric").money(Decimal(amount)) == full


@pytest.mark.parametrize(("size", "words"), [("Small", "Small: 142 × 118 × 60 mm"), ("", "142 × 118 × 60 mm")])
def test_short_sizes_keep_to_a_line(size: str, words: str) -> None:
    """On a narrow sheet the sides stand in the order that its head names, and no line breaks among them."""
    offer = replace(OFFER, size=size, width_mm=142.4, height_mm=118.0, depth_mm=60.0, in_the_round=True)
    assert short_size_words(Wording("EUR", "en-GB", "metric"), offer).replace("\u00a0", " ") == words
