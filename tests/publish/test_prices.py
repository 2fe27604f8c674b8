"""A price is one number: wherever it is printed, it is the one that was reckoned."""

from __future__ import annotations

import csv
from decimal import Decimal
from pathlib import Path

import pandas as pd
import pytest

from catalog_builder.pricing.calculation import VariantCalculation
from tests.publish.buyers import pounds
from tests.publish.demo import Demo
from tests.publish.page import pages_in, read_page, said, structured_data, text_of
from tests.publish.sheet import Line, found, page_lines, pdf_lines

CHANNELS = {"catalogue": "online", "stall": "stall"}


def product_page(demo: Demo, slug: str) -> Path:
    """Give the file of a product's page."""
    return demo.output / "catalogue" / "products" / f"{slug}.html"


@pytest.fixture(scope="module")
def sheets(demo: Demo) -> dict[str, list[Line]]:
    """The stall's price sheet, read from the page and from the PDF."""
    titles = [listing.title for listing in demo.calculated.listings]
    headings = [one.title for one in demo.calculated.content.studio.series.values()]
    stall = demo.output / "stall"
    return {
        "page": page_lines(stall / "price_sheet.html"),
        "pdf": pdf_lines(stall / "price_sheet.pdf", titles, headings),
    }


def test_demo_has_prices_enough_to_compare(demo: Demo) -> None:
    """The demo offers every product in variants, each with a price in all four channels, and not all alike."""
    assert len(demo.calculations) >= 60
    assert {len(one.prices) for one in demo.calculations} == {4}
    assert len({one.prices["online"].printed for one in demo.calculations}) >= 9
    assert any(one.prices["online"].printed != one.prices["trade"].printed for one in demo.calculations)


def test_product_table_holds_the_reckoned_prices(demo: Demo) -> None:
    """A product's table has a row for each variant, in the record's order, with its own-site price."""
    for listing in demo.calculated.listings:
        rows = read_page(product_page(demo, listing.slug)).select("table.choices tbody tr")
        read = [
            (
                *(text_of(cell) for name in ("size", "finish", "glass") for cell in row.select(f".is-{name}")),
                text_of(row.select_one(".is-price > span") or row),
            )
            for row in rows
        ]
        variants = demo.variants(listing.slug)
        several = len({one.offer.finish for one in variants}) > 1
        calculated = [
            (
                *(word for word in (one.offer.size, one.offer.finish if several else "", one.offer.glass) if word),
                pounds(one.prices["online"].printed),
            )
            for one in variants
        ]
        assert read == calculated, listing.slug


def test_a_table_says_whether_its_sizes_are_of_the_glass_or_of_the_frame(demo: Demo) -> None:
    """A panel in a frame is as large as its frame outside: only that of the others is a size of glass."""
    heads = {
        slug: read_page(product_page(demo, slug)).select("table.choices th:is(.is-glass_size, .is-framed_size)")
        for slug in {one.product.slug for one in demo.calculations}
    }
    framed = {one.product.slug for one in demo.calculations if one.product.keys.frame is not None}
    assert framed
    assert {slug: [head.text for head in of_table] for slug, of_table in heads.items()} == {
        slug: ["Size with frame" if slug in framed else "Glass size"] for slug in heads
    }


def test_structured_data_holds_the_reckoned_prices(demo: Demo) -> None:
    """What a page tells machines gives each variant's code the own-site price, with a point and two digits."""
    read = {}
    for listing in demo.calculated.listings:
        data = structured_data(read_page(product_page(demo, listing.slug)))
        read.update({variant["sku"]: variant["offers"]["price"] for variant in data["hasVariant"]})
    assert read == {one.offer.sku: f"{one.prices['online'].printed:.2f}" for one in demo.calculations}


def test_price_range_spans_the_table(demo: Demo) -> None:
    """The price above a product's table is the lowest and the highest of its rows."""
    for listing in demo.calculated.listings:
        amounts = [one.prices["online"].printed for one in demo.variants(listing.slug)]
        low, high = pounds(min(amounts)), pounds(max(amounts))
        shown = read_page(product_page(demo, listing.slug)).select_one("#choices")
        assert shown is not None
        assert text_of(shown).endswith(f": {low}" if low == high else f": {low} to {high}"), listing.slug


def test_cards_say_from_the_lowest_price(demo: Demo) -> None:
    """On every page a product's card shows its lowest own-site price, with `from` where prices differ."""
    wanted = {}
    for listing in demo.calculated.listings:
        amounts = [one.prices["online"].printed for one in demo.variants(listing.slug)]
        only = len(set(amounts)) == 1
        wanted[f"{listing.slug}.html"] = pounds(amounts[0]) if only else f"from {pounds(min(amounts))}"
    seen = set()
    for path in pages_in(demo.output / "catalogue"):
        for card in read_page(path).select(".card"):
            (link,), (price,) = card.select("a"), card.select(".price")
            name = said(link, "href").rpartition("/")[2]
            assert text_of(price) == wanted[name], f"{name} on {path.name}"
            seen.add(name)
    assert seen == set(wanted)


@pytest.mark.parametrize("sheet", ["page", "pdf"])
def test_stall_sheet_holds_the_reckoned_prices(demo: Demo, sheets: dict[str, list[Line]], sheet: str) -> None:
    """Whoever looks a variant up on the price sheet finds one price, that of the stall."""
    read = {one.offer.sku: found(sheets[sheet], one) for one in demo.calculations}
    assert read == {one.offer.sku: [pounds(one.prices["stall"].printed)] for one in demo.calculations}


def test_stall_sheets_hold_the_same_lines(sheets: dict[str, list[Line]]) -> None:
    """The price sheet's page and PDF hold the same lines, no more and no fewer."""
    assert sorted(map(str, sheets["page"])) == sorted(map(str, sheets["pdf"]))


def test_price_lists_hold_the_reckoned_prices(demo: Demo) -> None:
    """The bench's price list holds every channel's price of every variant, as CSV and as a workbook."""
    names = list(demo.calculated.content.studio.channels)
    wanted = {one.offer.sku: [one.prices[name].printed for name in names] for one in demo.calculations}
    with (demo.output / "bench" / "price_list.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["variant"]: [Decimal(row[f"{name}_price"]) for name in names] for row in rows} == wanted
    book = pd.read_excel(demo.output / "bench" / "price_list.xlsx", sheet_name="Prices")
    heads = [f"{channel.title}: price" for channel in demo.calculated.content.studio.channels.values()]
    read = {str(row["Code"]): [Decimal(str(row[head])) for head in heads] for row in book.to_dict("records")}
    assert read == wanted


def test_price_lists_agree_in_every_column(demo: Demo) -> None:
    """CSV and workbook hold the same rows and columns; the workbook's headings are words."""
    bench = demo.output / "bench"
    table = pd.read_csv(bench / "price_list.csv", encoding="utf-8-sig")
    book = pd.read_excel(bench / "price_list.xlsx", sheet_name="Prices")
    assert list(book.columns) != list(table.columns)
    pd.testing.assert_frame_equal(table, book.set_axis(table.columns, axis=1), check_dtype=False)


def test_cost_cards_hold_the_reckoned_prices(demo: Demo) -> None:
    """A variant's cost card and its row in the list of all give the same cost and prices as were reckoned."""
    bench = demo.output / "bench"
    index = {
        said(row.select("a")[0], "href"): [text_of(cell) for cell in row.select(".number")]
        for row in read_page(bench / "index.html").select('[aria-labelledby="designs"] tbody tr')
    }
    assert index == {f"cards/{one.offer.sku}.html": [_cost(one), *_all_prices(one)] for one in demo.calculations}
    for one in demo.calculations:
        card = read_page(bench / "cards" / f"{one.offer.sku}.html")
        (total,) = card.select(".sum dd")
        channels = card.select("table")[0].select("tbody tr")
        assert text_of(total) == _cost(one)
        assert [text_of(row.select("td")[0]) for row in channels] == _all_prices(one)


def _cost(one: VariantCalculation) -> str:
    return f"£{one.cost.total.quantize(Decimal('0.01'), rounding='ROUND_HALF_UP'):,.2f}"


def _all_prices(one: VariantCalculation) -> list[str]:
    return [f"£{price.printed:,.2f}" for price in one.prices.values()]
