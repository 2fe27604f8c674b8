"""The pieces of a set in words."""

from __future__ import annotations

from catalog_builder.offer import Listing, SetPart
from catalog_builder.phrase import joined


def piece_words(part: SetPart) -> str:
    """Name a piece with its size, finish and glass, and how many of it where there are more than one."""
    return _counted(part, ": ".join(word for word in (part.title, part.offer.words) if word))


def contents_words(listing: Listing) -> str:
    """Name the pieces of a set shortly, in one line; nothing for a product."""
    return joined(
        _counted(part, f"{part.title} ({part.offer.size})" if part.offer.size else part.title) for part in listing.parts
    )


def _counted(part: SetPart, words: str) -> str:
    return words if part.count == 1 else f"{part.count} × {words}"
