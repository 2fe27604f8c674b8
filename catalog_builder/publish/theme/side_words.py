"""Width, height and depth in words that say which is which."""

from __future__ import annotations

from collections.abc import Iterable

from catalog_builder.offer import Offer
from catalog_builder.phrase import joined
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording, unbroken

_SIDES = ("wide", "high", "deep")


def side_words(theme: Theme, wording: Wording, *sides_mm: float) -> str:
    """Say width and height, and depth if it is given, such as ``142 mm wide, 118 mm high``.

    A line may break between two sides alone.
    """
    return side_ranges(theme, wording, [sides_mm])


def side_ranges(theme: Theme, wording: Wording, pieces: Iterable[tuple[float, ...]]) -> str:
    """Say the sides of several pieces, each from the least to the most, such as ``90–142 mm wide, 75–118 mm high``."""
    ends: dict[str, list[float]] = {}
    for sides_mm in pieces:
        for name, side in zip(_SIDES, sides_mm, strict=False):
            ends.setdefault(name, []).append(side)
    ranges = {name: wording.lengths(min(sides), max(sides)) for name, sides in ends.items()}
    return joined(unbroken(theme.words("sides", name, length=length)) for name, length in ranges.items())


def short_size_words(wording: Wording, offer: Offer) -> str:
    """Name a size with its sides alone, in the order of width, height and depth, such as ``Small: 142 × 118 mm``."""
    return _named(offer, unbroken(wording.size(*offer.sides_mm)))


def size_words(theme: Theme, wording: Wording, offer: Offer) -> str:
    """Name a size with its sides."""
    return _named(offer, side_words(theme, wording, *offer.sides_mm))


def _named(offer: Offer, sides: str) -> str:
    return f"{offer.size}: {sides}" if offer.size else sides
