"""Colours in OKLab against the values that its author gives, and against CSS."""

from __future__ import annotations

import numpy as np
import pytest

from catalog_builder.publish.pictures.glass.oklab import distance, oklab, oklab_of_linear, plain_colour

# Linear sRGB to CIE XYZ under D65, by IEC 61966-2-1 (from memory).
XYZ_OF_SRGB = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])


@pytest.mark.parametrize(
    ("xyz", "expected"),
    [
        ((0.950, 1.000, 1.089), (1.000, 0.000, 0.000)),
        ((1.000, 0.000, 0.000), (0.450, 1.236, -0.019)),
        ((0.000, 1.000, 0.000), (0.922, -0.671, 0.263)),
        ((0.000, 0.000, 1.000), (0.153, -1.415, -0.449)),
    ],
)
def test_the_authors_pairs_hold(xyz: tuple[float, float, float], expected: tuple[float, float, float]) -> None:
    """The pairs of XYZ and OKLab that come with its definition hold, also far outside of what a screen shows.

    Source: Björn Ottosson, A perceptual color space for image processing (2020), table of test values (from memory).
    """
    red, green, blue = np.linalg.solve(XYZ_OF_SRGB, np.array(xyz)).tolist()
    assert tuple(oklab_of_linear(red, green, blue)) == pytest.approx(expected, abs=0.003)


@pytest.mark.parametrize(
    ("colour", "expected"),
    [
        # CSS Color 4, sample values of oklab() for the primaries (from memory).
        ("#ffffff", (1.0, 0.0, 0.0)),
        ("#000000", (0.0, 0.0, 0.0)),
        ("#ff0000", (0.62796, 0.22486, 0.12585)),
        ("#00ff00", (0.86644, -0.23389, 0.17950)),
        ("#0000ff", (0.45201, -0.03246, -0.31153)),
    ],
)
def test_the_primaries_are_those_of_css(colour: str, expected: tuple[float, float, float]) -> None:
    """White, black and the primaries of sRGB lie where CSS has them."""
    assert tuple(oklab(colour)) == pytest.approx(expected, abs=2e-4)


def test_distance_is_that_of_points() -> None:
    """Black and white are 1 apart, a colour is 0 from itself, and the way back is as far as the way there."""
    assert distance("#000000", "#ffffff") == pytest.approx(1, abs=1e-6)
    assert distance("#2a4f9e", "#2a4f9e") == 0
    assert distance("#2a4f9e", "#d9992b") == distance("#d9992b", "#2a4f9e") > 0.3


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("#FA0", "#ffaa00"),
        ("#2A4F9E", "#2a4f9e"),
        ("rgb(42, 79, 158)", "#2a4f9e"),
        ("rgb(100%, 0%, 50%)", "#ff0080"),
        ("hsl(120, 100%, 25%)", "#008000"),
        ("Goldenrod", "#daa520"),
        ("not a colour", None),
        ("var(--sky)", None),
    ],
)
def test_a_colour_is_read_as_css_writes_it(text: str, expected: str | None) -> None:
    """Names, hex digits and parts of CSS Color 4 give the colour; what is none gives none."""
    assert plain_colour(text) == expected
