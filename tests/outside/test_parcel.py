"""A parcel's length and girth against worked examples for senders, and a box against the room in it."""

from __future__ import annotations

import pytest

from catalog_builder.making.parcel import Sides, length_and_girth, takes
from tests.making.test_parcel import box


@pytest.mark.parametrize(
    ("sides_in", "inches"),
    [
        # Help pages for senders by USPS, of two shipping services (S2): 30 + 2 (10 + 15), 12 + 2 (5 + 8).
        ((30, 10, 15), 80),
        ((5, 8, 12), 38),
    ],
)
def test_length_and_girth(sides_in: Sides, inches: float) -> None:
    """The longest side and the way round the two others."""
    assert length_and_girth(sides_in) == inches


def test_padding_lies_on_both_sides() -> None:
    """Room of 120 x 90 x 40 mm with 10 mm of padding all round is left for 100 x 70 x 20 mm (C)."""
    padded = box((120, 90, 40), padding=10)
    assert takes(padded, (100, 70, 20), 1)
    assert not takes(padded, (101, 70, 20), 1)
