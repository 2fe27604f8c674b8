"""Masses in words: as finely as they are known, in grams or in ounces."""

from __future__ import annotations

import pytest

from catalog_builder.publish.theme.wording import Wording

METRIC, IMPERIAL, GERMAN = (
    Wording("EUR", "en-GB", "metric"),
    Wording("USD", "en-US", "imperial"),
    Wording("EUR", "de-DE", "metric"),
)
# An avoirdupois ounce is 28.349523125 g exactly (NIST Handbook 44, App. C).
OZ = 28.349523125


@pytest.mark.parametrize(
    ("wording", "mass_g", "within_g", "words"),
    [
        (METRIC, 117.62, 12.7, "120 g"),
        (METRIC, 114.9, 12.7, "110 g"),
        (METRIC, 117.62, 9.9, "120 g"),
        (METRIC, 117.62, 5.0, "120 g"),
        (METRIC, 117.62, 4.9, "118 g"),
        (METRIC, 117.62, 1.2, "118 g"),
        (METRIC, 117.62, 0.01, "118 g"),
        (METRIC, 117.62, 0.0, "118 g"),
        (METRIC, 1234.0, 60, "1,250 g"),
        # Half a step goes up, and nothing weighs nothing.
        (METRIC, 115.0, 10, "120 g"),
        (METRIC, 2.0, 12.0, "10 g"),
        (GERMAN, 1234.0, 60, "1.250 g"),
        (IMPERIAL, 4 * OZ, 0.45 * OZ, "4 oz"),
        (IMPERIAL, 4.33 * OZ, 0.45 * OZ, "4.4 oz"),
        (IMPERIAL, 4.33 * OZ, 0.01 * OZ, "4.3 oz"),
        (IMPERIAL, 4.33 * OZ, 0.5 * OZ, "4.5 oz"),
        (IMPERIAL, 0.01 * OZ, 0.01 * OZ, "0.1 oz"),
    ],
)
def test_mass(wording: Wording, mass_g: float, within_g: float, words: str) -> None:
    """A mass is rounded to the largest step of 1, 2, 5, 10 ... that is not above what it is known to."""
    assert wording.mass(mass_g, within_g) == words


@pytest.mark.parametrize(
    ("wording", "mass_g", "words"),
    [
        (METRIC, 0.28, "0.3 g"),
        (METRIC, 12.0, "12.0 g"),
        (METRIC, 1234.56, "1,234.6 g"),
        (GERMAN, 1234.56, "1.234,6 g"),
        (IMPERIAL, OZ, "1.00 oz"),
        (IMPERIAL, 7.5 * OZ, "7.50 oz"),
        (IMPERIAL, 0.28, "0.01 oz"),
    ],
)
def test_fine_mass(wording: Wording, mass_g: float, words: str) -> None:
    """For the bench a mass is told to a tenth of a gram, or to a hundredth of an ounce."""
    assert wording.fine_mass(mass_g) == words


@pytest.mark.parametrize(
    ("wording", "mass_g", "words"),
    [
        (METRIC, 12.7, "20 g"),
        (METRIC, 10.0, "10 g"),
        (METRIC, 8.1, "9 g"),
        (METRIC, 0.31, "0.4 g"),
        (METRIC, 0.0, "0 g"),
        (IMPERIAL, 0.41 * OZ, "0.5 oz"),
        (IMPERIAL, 0.0, "0 oz"),
        (GERMAN, 0.31, "0,4 g"),
    ],
)
def test_rough(wording: Wording, mass_g: float, words: str) -> None:
    """How far a mass may be off is told to one digit, and never as less than it is."""
    assert wording.rough(mass_g) == words


@pytest.mark.parametrize(
    ("wording", "amount", "places", "words"),
    [
        (METRIC, 3.5763, 1, "3.6"),
        (METRIC, 3.0, 1, "3.0"),
        (METRIC, 0.25, 1, "0.3"),
        (METRIC, 1234.5, 0, "1,235"),
        (GERMAN, 3.5763, 2, "3,58"),
    ],
)
def test_places(wording: Wording, amount: float, places: int, words: str) -> None:
    """A number has just as many digits behind the point as are asked for, half rounded up."""
    assert wording.places(amount, places) == words


@pytest.mark.parametrize(
    ("units", "shown"),
    [("metric", "124 × 86 mm"), ("centimetres", "12.4 × 8.6 cm"), ("imperial", "4.9 × 3.4 in")],
)
def test_lengths_in_the_readers_units(units: str, shown: str) -> None:
    """Sizes are told in mm, cm or inches, as the studio's buyers read them; an inch is 25.4 mm (NIST SP 811)."""
    wording = Wording("GBP", "en-GB", units)
    assert wording.size(123.6, 86.4) == shown
    assert wording.length(123.6) == shown.split(" ×", maxsplit=1)[0] + shown[-3:]
