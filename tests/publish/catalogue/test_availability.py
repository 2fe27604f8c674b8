"""What buyers read of what lies ready, what is made to order, and what is sold."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from catalog_builder.publish.catalogue.availability_words import AvailabilityWords
from catalog_builder.publish.theme.loading import read_theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.product import Availability
from catalog_builder.records.reading.source import Source
from tests.publish.catalogue.test_descriptors import LISTING, OFFER, studio
from tests.publish.demo import ROOT, Demo, build_in, lay_out_known, reworded
from tests.publish.page import read_page, structured_data, text_of


def words(language: str = "en-GB") -> AvailabilityWords:
    """The words of a language."""
    keys = studio().model_copy(update={"language": language})
    return AvailabilityWords(read_theme(ROOT, "daylight", language, Source("studio.toml", "")), Wording.of(keys))


@pytest.mark.parametrize(
    ("recorded", "ready", "days", "text"),
    [
        ("made to order", 2, 21, "2 ready to send"),
        ("made to order", 0, 21, "Made to order, in about 3 weeks"),
        ("made to order", None, 7, "Made to order, in about 1 week"),
        ("made to order", None, 10, "Made to order, in about 10 days"),
        ("made to order", None, None, "Made to order"),
        ("in stock", None, 21, "Ready to send"),
        ("in stock", 1, 21, "1 ready to send"),
        ("in stock", 0, 21, "Sold"),
        ("one only", None, None, "The only one"),
        ("one only", 0, None, "Sold"),
        ("sold", 3, None, "Sold"),
    ],
)
def test_a_variant(recorded: Availability, ready: int | None, days: int | None, text: str) -> None:
    """A count where there is one, the time it takes where it is made, and nothing that is not known."""
    assert words().of_offer(replace(OFFER, recorded=recorded, ready=ready, lead_days=days)) == text


def test_a_product_adds_up_its_variants() -> None:
    """Two and one are three; its page says what is made to order besides."""
    offers = tuple(replace(OFFER, recorded="made to order", ready=ready, lead_days=14) for ready in (2, 0, None, 1))
    listing = replace(LISTING, offers=offers)
    assert words().of_card(listing) == "3 ready to send"
    assert words().of_page(listing) == "3 ready to send; others made to order, in about 2 weeks"
    assert words("de-DE").of_page(listing) == "3 sofort lieferbar; weitere auf Bestellung, in etwa 2 Wochen"
    plain = replace(LISTING, offers=offers[1:2])
    assert words().of_page(plain) == "Made to order, in about 2 weeks"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """Three products: one sold out by its last sale, one partly, one counted and made to order."""
    project = lay_out_known(tmp_path_factory.mktemp("ready"), "noon-sun", "two-waxcaps", "harbour-light")
    record = project / "content" / "products" / "two-waxcaps" / "product.md"
    reworded(record, ("finishes: [copper, black]", "finishes: [copper]"), ("in stock", "one only"))
    lines = record.read_text(encoding="utf-8").split("\n")
    at = lines.index("  plum:")
    record.write_text("\n".join(lines[:at] + lines[at + 3 :]), encoding="utf-8")
    (project / "content" / "ready.csv").write_text(
        "date,product,size,finish,glass,count\n"
        "2026-11-01,two-waxcaps,,,,1\n"
        "2026-11-01,noon-sun,small,copper,noon,0\n"
        "2026-11-01,noon-sun,small,copper,low,4\n"
        "2026-11-01,harbour-light,,black,fog,2\n",
        encoding="utf-8",
    )
    (project / "content" / "sales.csv").write_text(
        "date,product,count,price\n2026-11-20,two-waxcaps,1,80\n", encoding="utf-8"
    )
    return build_in(project)


def page(shop: Demo, slug: str) -> Path:
    """A product's page."""
    return shop.output / "catalogue" / "products" / f"{slug}.html"


def test_the_last_one_sold_keeps_its_page_without_chooser_price_and_enquiry(shop: Demo) -> None:
    """A sold piece is there to be looked at: nothing asks for money or an answer, here or in the one file."""
    sold = read_page(page(shop, "two-waxcaps"))
    assert "Sold" in text_of(sold.select(".offer-price")[0])
    assert not sold.select("#chooser, #enquire, .price")
    assert not sold.select(".choices .is-price")
    (variant,) = structured_data(sold)["hasVariant"]
    assert variant["offers"]["availability"] == "https://schema.org/SoldOut"
    assert "price" not in variant["offers"]
    card = read_page(shop.output / "catalogue" / "series" / "wood.html").select(".card")[0]
    assert not card.select(".price")
    assert "Sold" in text_of(card)


def test_a_sold_variant_is_no_choice_and_has_no_price(shop: Demo) -> None:
    """Its row stays, so that a printed code leads somewhere; the others keep their prices."""
    sun = read_page(page(shop, "noon-sun"))
    rows = {
        (text_of(row.select(".is-size")[0]), text_of(row.select(".is-finish")[0]), text_of(row.select(".is-glass")[0])):
        (text_of(row.select(".is-price")[0]), text_of(row.select(".is-availability")[0]))
        for row in sun.select(".choices tbody tr")
    }  # fmt: skip
    assert rows["Small", "Copper patina", "High summer"] == ("", "Sold")
    price, available = rows["Small", "Copper patina", "Low winter sun"]
    assert price.startswith("£")
    assert available == "4 ready to send"
    assert sun.select("#chooser, #enquire")


def test_sheet_and_tags_leave_out_what_is_sold(shop: Demo) -> None:
    """The price sheet has the sun and the panel, and no waxcaps."""
    sheet = text_of(read_page(shop.output / "stall" / "price_sheet.html").select("body")[0])
    assert "Noon sun" in sheet
    assert "Two waxcaps" not in sheet


def test_buyers_can_look_for_what_lies_ready(shop: Demo) -> None:
    """The page to find pieces has ready, made to order and sold as choices."""
    found = read_page(shop.output / "catalogue" / "find.html")
    values = [box["value"] for box in found.select('input[name="availability"]')]
    assert values == ["in_stock", "made_to_order", "sold"]


def test_a_ready_piece_says_so_and_in_what_time_others_are_made(shop: Demo) -> None:
    """The panel: two lie ready, others take the studio's three weeks."""
    text = text_of(read_page(page(shop, "harbour-light")).select(".offer-others")[0])
    assert "2 ready to send; others made to order, in about 3 weeks" in text
