"""How a piece stands, in words for buyers."""

from __future__ import annotations

from collections.abc import Iterator

from catalog_builder.offer import Listing, Offer, Standing
from catalog_builder.phrase import Value, phrase
from catalog_builder.publish.theme.phrasing import Phrasing


def standing_words(offer: Offer, phrasing: Phrasing) -> str:
    """Say shortly how a piece stands, for tags and lists; nothing where it hangs."""
    standing = offer.standing
    return phrasing.say(phrase(f"standing.short_{_kind(standing)}", **_values(standing, phrasing))) if standing else ""


def standing_lines(listing: Listing, phrasing: Phrasing) -> Iterator[str]:
    """Say of each size how high it stands and on what."""
    by_size: dict[str, str] = {}
    for offer in listing.offers:
        standing = offer.standing
        if standing is not None:
            said = phrase(f"standing.line_{_kind(standing)}", **_values(standing, phrasing))
            by_size.setdefault(offer.size, phrasing.say(said))
    for size, words in by_size.items():
        yield f"{size}: {words}" if size and len(by_size) > 1 else words


def _kind(standing: Standing) -> str:
    return "footprint" if standing.footprint_mm is not None else "soil" if standing.in_soil_mm else "clip"


def _values(standing: Standing, phrasing: Phrasing) -> dict[str, Value]:
    wording = phrasing.wording
    return {
        "height": wording.length(standing.height_mm),
        "footprint": wording.size(*(standing.footprint_mm or ())),
        "soil": wording.length(standing.in_soil_mm),
    }
