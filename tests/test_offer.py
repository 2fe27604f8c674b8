"""What a buyer may see of a variant: its place on its page, and whether it can be had."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from catalog_builder.offer import Listing, Offer
from catalog_builder.pricing.calculation import listings_of
from catalog_builder.records.product import Availability
from tests.studio import calculations, content, record

TWO = record().replace("finishes: [bright]", "finishes: [bright, dark]")


@pytest.fixture
def listing(tmp_path: Path) -> Listing:
    """A product with two finishes."""
    found = content(tmp_path, TWO, {"finishes.dark": 'title = "Dark"'})
    (only,) = listings_of(found.studio, found.materials.rows, calculations(found))
    return only


def with_code(listing: Listing, sku: str) -> Offer:
    """The first variant under another code."""
    return replace(listing.offers[0], sku=sku)


def test_the_place_of_a_variant_is_the_end_of_its_code(listing: Listing) -> None:
    """Two names are an address as they are; one alone is led by a word, so that no other id of a page is the same."""
    assert [offer.anchor for offer in listing.offers] == ["in--bright", "in--dark"]
    assert with_code(listing, "pane--large--bright--plain").anchor == "large--bright--plain"
    assert with_code(listing, "pair").anchor == ""


def test_only_one_of_several_has_a_place_of_its_own(listing: Listing) -> None:
    """The address of a product's only variant is that of its page."""
    first, second = listing.offers
    assert listing.page_of(second) == "products/pane.html#in--dark"
    assert replace(listing, offers=(first,)).page_of(first) == "products/pane.html"


@pytest.mark.parametrize(
    ("recorded", "ready", "expected"),
    [
        ("made to order", None, "made to order"),
        ("made to order", 0, "made to order"),
        ("made to order", 2, "in stock"),
        ("in stock", None, "in stock"),
        ("in stock", 0, "sold"),
        ("in stock", 1, "in stock"),
        ("one only", None, "one only"),
        ("one only", 0, "sold"),
        ("sold", 3, "sold"),
    ],
)
def test_what_lies_ready_decides(
    listing: Listing, recorded: Availability, ready: int | None, expected: Availability
) -> None:
    """What is not made again is sold once none lies ready; what is made to order is in stock while some do."""
    offer = replace(listing.offers[0], recorded=recorded, ready=ready)
    assert (offer.availability, offer.sold) == (expected, expected == "sold")


def test_a_listing_is_sold_when_all_are(listing: Listing) -> None:
    """What is offered first is the first that is not sold; a product is sold when all of its variants are."""
    first, second = listing.offers
    sold = replace(first, recorded="sold", ready=4)
    one_left = replace(listing, offers=(sold, replace(second, ready=3)))
    assert (one_left.sold, one_left.first.sku, one_left.ready) == (False, second.sku, 3)
    none_left = replace(listing, offers=(sold,))
    assert (none_left.sold, none_left.first, none_left.ready) == (True, sold, 0)
