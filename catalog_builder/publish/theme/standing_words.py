"""How a piece stands, in words for buyers."""

from __future__ import annotations

from collections.abc import Iterator

from catalog_builder.offer import Listing, Offer, Standing
from catalog_builder.phrase import phrase
from catalog_builder.publish.theme.phrasing import Phrasing


def standing_words(offer: Offer, phrasing: Phrasing) -> str:
    """Say shortly how a piece stands, for tags and lists; nothing where it hangs."""
    return _said(offer.standing, "short", phrasing) if offer.standing is not None else ""


def standing_lines(listing: Listing, phrasing: Phrasing) -> Iterator[str]:
    """Say of each size how high it stands and on what."""
    by_size: dict[str, str] = {}
    for offer in listing.offers:
        if offer.standing is not None:
            by_size.setdefault(offer.size, _said(offer.standing, "line", phrasing))
    for size, words in by_size.items():
        yield f"{size}: {words}" if size and len(by_size) > 1 else words


def _said(standing: Standing, form: str, phrasing: Phrasing) -> str:
    wording = phrasing.wording
    kind = "footprint" if standing.footprint_mm is not None else "soil" if standing.in_soil_mm else "clip"
    values = {
        "height": wording.length(standing.height_mm),
        "footprint": wording.size(*(standing.footprint_mm or ())),
        "soil": wording.length(standing.in_soil_mm),
    }
    return phrasing.say(phrase(f"standing.{form}_{kind}", **values))
