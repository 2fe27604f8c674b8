"""What machines read of a product and of a market: prices, measures and days, each where and as it belongs.

Types and members are those of schema.org; unit codes are UN/CEFACT Recommendation 20: GRM gram, MMT millimetre (both
from memory). Whether a name is in the vocabulary at all is checked in tests/outside/test_vocabulary.py.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any, Literal

import pytest
from lxml import etree

from catalog_builder.offer import AskedPrice, Listing, Offer, Parcel
from catalog_builder.publish.catalogue.descriptors import (
    Described,
    breadcrumbs,
    in_script,
    market_event,
    product_group,
    sitemap,
)
from catalog_builder.publish.catalogue.offer_terms import offer_terms, plain_price
from catalog_builder.publish.pictures.glass.colour_word import WORDS
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.product import Availability
from catalog_builder.records.reading.source import Source
from catalog_builder.records.selling.market_date import Market
from catalog_builder.records.selling.returns import Returns
from catalog_builder.records.studio import read_studio
from catalog_builder.records.studio_tables.studio_keys import StudioKeys
from tests.studio import TABLES, studio_text

OFFER = Offer(
    sku="pane-plain", size="", finish="bright", glass="", glass_colours=("#446655",), width_mm=100.4, height_mm=60.0,
    depth_mm=41.6, in_the_round=False, hung_width_mm=102.6, hung_height_mm=96.5, right_lower_mm=0.0, mass_g=423.4,
    mass_within_g=30.0, online=AskedPrice(Decimal("48.5"), Decimal("48.5"), "none"),
    stall=AskedPrice(Decimal(45), Decimal(45), "none"), parcel=None, by_hand=False,
    recorded="in stock",
)  # fmt: skip
LISTING = Listing(
    slug="pane", title="Pane", summary="A pane of two.", series="panes", added=date(2031, 1, 2), description="",
    offers=(OFFER,), pieces=2, glass_names=("Reed",),
    hang_by=HardwareKind.RING, hang_mm=0.0, rings=1,
    tilt_degrees=0.0, lean_degrees=0.0, cautions=(), added_cautions=(),
)  # fmt: skip
ABOUT = Described(
    address="https://sedge.example/pane.html",
    images=("https://sedge.example/a.jpg",),
    series="Panes",
    technique="copper foil",
    footprint="Footprint",
    colours={"green": "Green"},
)


def studio(currency: str = "EUR") -> StudioKeys:
    """The studio's keys, with a currency."""
    text = TABLES["studio"].replace('"EUR"', f'"{currency}"')
    return read_studio(Source("content/studio.toml", studio_text({"studio": text}))).studio


def variant(listing: Listing = LISTING, currency: str = "EUR") -> Any:
    """The one variant of a product as it is described."""
    described: Any = product_group(listing, ABOUT, studio(currency))
    (product,) = described["hasVariant"]
    return product


@pytest.mark.parametrize(
    ("amount", "currency", "text"),
    [
        ("48.5", "EUR", "48.50"),
        ("1234.5", "GBP", "1234.50"),
        ("1234", "JPY", "1234"),
        ("12.5", "KWD", "12.500"),
        ("0", "USD", "0.00"),
    ],
)
def test_a_price_has_its_currencys_digits(amount: str, currency: str, text: str) -> None:
    """A point, no groups, and as many digits as ISO 4217 has for the currency."""
    assert plain_price(Decimal(amount), currency) == text
    listing = replace(LISTING, offers=(replace(OFFER, online=AskedPrice(Decimal(amount), Decimal(amount), "none")),))
    assert variant(listing, currency)["offers"]["price"] == text
    assert variant(listing, currency)["offers"]["priceCurrency"] == currency


@pytest.mark.parametrize(("tax", "within"), [("included", True), ("added", False)])
def test_a_price_says_whether_the_tax_is_in_it(tax: Literal["included", "added"], within: bool) -> None:
    """PriceSpecification of schema.org has a property for it; without a tax it says nothing."""
    price = AskedPrice(Decimal("48.5"), Decimal("58.2"), tax)
    specified = variant(replace(LISTING, offers=(replace(OFFER, online=price),)))["offers"]["priceSpecification"]
    assert (specified["price"], specified["valueAddedTaxIncluded"]) == ("48.50", within)
    assert "priceSpecification" not in variant()["offers"]


def test_the_price_is_that_of_the_studios_own_site() -> None:
    """A buyer who comes by a search pays what the page says, not what the stall asks."""
    assert variant()["offers"]["price"] == "48.50"


@pytest.mark.parametrize(
    ("availability", "member"),
    [
        ("made to order", "MadeToOrder"),
        ("in stock", "InStock"),
        ("one only", "LimitedAvailability"),
        ("sold", "SoldOut"),
    ],
)
def test_what_is_sold_is_not_offered_as_in_stock(availability: Availability, member: str) -> None:
    """Each word of a record has its member of ItemAvailability."""
    offers = variant(replace(LISTING, offers=(replace(OFFER, recorded=availability),)))["offers"]
    assert offers["availability"] == f"https://schema.org/{member}"
    assert ("price" in offers) == ("priceCurrency" in offers) == (availability != "sold")


@pytest.mark.parametrize(
    ("recorded", "ready", "member", "supply"),
    [
        ("made to order", 2, "InStock", {"inventoryLevel": 2}),
        ("made to order", 0, "MadeToOrder", {"deliveryLeadTime": 21}),
        ("made to order", None, "MadeToOrder", {"deliveryLeadTime": 21}),
        ("in stock", 3, "InStock", {"inventoryLevel": 3}),
        ("in stock", 0, "SoldOut", {}),
        ("one only", 1, "LimitedAvailability", {"inventoryLevel": 1}),
        ("one only", 0, "SoldOut", {}),
        ("sold", 4, "SoldOut", {}),
    ],
)
def test_what_lies_ready_says_whether_a_piece_can_be_had(
    recorded: Availability, ready: int | None, member: str, supply: dict[str, int]
) -> None:
    """What is not made again is sold with its last piece; a lead time is told only of what is made to order."""
    offer = replace(OFFER, recorded=recorded, ready=ready, lead_days=21)
    told = variant(replace(LISTING, offers=(offer,)))["offers"]
    assert told["availability"] == f"https://schema.org/{member}"
    named = {name: told[name]["value"] for name in ("inventoryLevel", "deliveryLeadTime") if name in told}
    assert named == supply


def test_measures_have_their_units() -> None:
    """Grams and millimetres, whole; width and height are those of the piece as it hangs, hardware and all."""
    measures = {name: variant()[name] for name in ("weight", "width", "height")}
    assert {name: (measure["value"], measure["unitCode"]) for name, measure in measures.items()} == {
        "weight": (423, "GRM"),
        "width": (103, "MMT"),
        "height": (96, "MMT"),
    }


def test_only_what_stands_out_of_its_plane_has_a_depth() -> None:
    """The depth of a flat pane is that of its beads: nobody asks for it."""
    assert "depth" not in variant()
    stands = replace(LISTING, offers=(replace(OFFER, in_the_round=True),))
    assert (variant(stands)["depth"]["value"], variant(stands)["depth"]["unitCode"]) == (42, "MMT")


def test_variants_differ_in_what_is_said_of_them() -> None:
    """A group names size, colour or finish where its variants differ in it, and nothing where there is one."""
    plain: Any = product_group(LISTING, ABOUT, studio())
    assert "variesBy" not in plain
    sizes = (replace(OFFER, size="Small", sku="a"), replace(OFFER, size="Large", sku="b"))
    sized: Any = product_group(replace(LISTING, offers=sizes), ABOUT, studio())
    assert sized["variesBy"] == ["https://schema.org/size"]
    assert [item["name"] for item in sized["hasVariant"]] == ["Pane: Small, bright", "Pane: Large, bright"]


def test_a_variant_stands_at_an_address_of_its_own() -> None:
    """Variants of a group have distinct addresses; a single one has that of its page."""
    offers = (replace(OFFER, sku="pane--small--bright"), replace(OFFER, sku="pane--bright"))
    several: Any = product_group(replace(LISTING, offers=offers), ABOUT, studio())
    places = [item["url"].rpartition("/")[2] for item in several["hasVariant"]]
    assert places == ["pane.html#small--bright", "pane.html#in--bright"]
    assert variant()["url"].endswith("products/pane.html")


def test_colours_are_plain_words_with_slashes() -> None:
    """Up to three colours, the main one first (support.google.com/merchants/answer/6324487)."""
    about = replace(ABOUT, colours={word: word.capitalize() for word in WORDS})
    offer = replace(OFFER, glass_colours=("#b01020", "#c01828", "#103090", "#20a040", "#f0d020"))
    group: Any = product_group(replace(LISTING, offers=(offer,)), about, studio())
    assert group["hasVariant"][0]["color"] == "Red/Blue/Green"


def test_postage_is_told_where_it_is_known_and_where_to() -> None:
    """A rate and a destination are both needed (merchant listings, OfferShippingDetails); what is sold has neither."""
    parcel = Parcel((250.0, 190.0, 60.0), 340.0, "Post", "small", Decimal("3.1"))
    offer = replace(OFFER, parcel=parcel)
    keys = studio().model_copy(update={"posts_to": "DE"})
    details: Any = offer_terms(offer, keys)["shippingDetails"]
    assert details["shippingRate"] == {"@type": "MonetaryAmount", "value": "3.10", "currency": "EUR"}
    assert details["shippingDestination"]["addressCountry"] == "DE"
    for other, where in ((offer, studio()), (OFFER, keys), (replace(offer, recorded="sold"), keys)):
        assert "shippingDetails" not in offer_terms(other, where)


@pytest.mark.parametrize(
    ("days", "buyer_pays", "told"),
    [
        (14, True, ("MerchantReturnFiniteReturnWindow", 14, "ReturnFeesCustomerResponsibility")),
        (30, False, ("MerchantReturnFiniteReturnWindow", 30, "FreeReturn")),
        (0, True, ("MerchantReturnNotPermitted", None, None)),
    ],
)
def test_returns_are_told_as_the_studio_gives_them(
    days: int, buyer_pays: bool, told: tuple[str, int | None, str | None]
) -> None:
    """Category and country always, days and fees where a piece may come back (MerchantReturnPolicy)."""
    returns = Returns(days=days, countries=("DE", "AT"), buyer_pays=buyer_pays)
    policy: Any = offer_terms(OFFER, studio().model_copy(update={"returns": returns}))["hasMerchantReturnPolicy"]
    fees = policy.get("returnFees", "").rpartition("/")[2] or None
    assert (policy["returnPolicyCategory"].rpartition("/")[2], policy.get("merchantReturnDays"), fees) == told
    assert policy["applicableCountry"] == ["DE", "AT"]
    assert "hasMerchantReturnPolicy" not in offer_terms(OFFER, studio())


def test_the_way_to_a_page_is_counted_from_one() -> None:
    """The first step is the front page, at position 1 (BreadcrumbList)."""
    steps: Any = breadcrumbs((("Home", "https://sedge.example/"), ("Panes", "https://sedge.example/panes.html")))
    assert [(step["position"], step["name"]) for step in steps["itemListElement"]] == [(1, "Home"), (2, "Panes")]


@pytest.mark.parametrize(("until", "last"), [(None, "2031-06-14"), (date(2031, 6, 15), "2031-06-15")])
def test_a_market_of_two_days_ends_on_the_second(until: date | None, last: str) -> None:
    """Without a last day a market ends on the day on which it begins."""
    keys = {"name": "Fair", "place": "The quay", "date": date(2031, 6, 14), "until": until, "hours": "10 to 4"}
    market = Market.model_validate(keys)
    event = market_event(market, studio(), "https://sedge.example/dates.html")
    assert (event["startDate"], event["endDate"]) == ("2031-06-14", last)


def test_nothing_ends_a_script_early() -> None:
    """A text with markup in it stays a text: the signs that could end the element are written as escapes."""
    written = str(in_script({"name": "</script><b>&"}))
    assert not {"<", ">", "&"} & set(written)
    assert written == '{"name":"\\u003c/script\\u003e\\u003cb\\u003e\\u0026"}'


def test_an_address_with_an_ampersand_is_read_back_whole() -> None:
    """A sitemap is XML: what stands for markup is escaped (sitemaps.org, entity escaping)."""
    pages = (("https://sedge.example/?a=1&b=2", date(2031, 5, 20)), ("https://sedge.example/", None))
    root = etree.fromstring(sitemap(pages).encode())
    space = {"s": "http://www.sitemaps.org/schemas/sitemap/0.9"}
    assert root.xpath("//s:loc/text()", namespaces=space) == [address for address, _ in pages]
    assert root.xpath("//s:lastmod/text()", namespaces=space) == ["2031-05-20"]
