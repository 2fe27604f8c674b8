"""The private sheet on discounts: the same amounts on the page and in the PDF, and marked by more than colour."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

from catalog_builder.pricing.calculation import VariantCalculation
from tests.publish.demo import Demo
from tests.publish.page import read_page, text_of
from tests.publish.printed import pages_of
from tests.publish.sheet import pdf_text

PENNY = Decimal("0.01")
# Each discount of the demo as a price of 100.
OFF = {
    "10% off": Decimal(90),
    "20% off": Decimal(80),
    "30% off": Decimal(70),
    "40% off": Decimal(60),
    "3 for 2": Decimal(200) / 3,
}


def pounds(amount: Decimal) -> str:
    """An amount as the demo's readers write it."""
    return f"£{amount.quantize(PENNY, ROUND_HALF_UP):,.2f}"


def calculated(demo: Demo, one: VariantCalculation) -> Iterator[str]:
    """The cells of a variant by plain arithmetic: floor, room, and for each price what it leaves.

    The demo's stall charges no tax; what is left is the price less the percentage and the fixed fees.
    """
    channel = demo.calculated.content.studio.channels["stall"]
    hours = channel.day_hours * demo.calculated.content.studio.bench.hourly_rate
    day = (channel.day_fee + hours) / channel.sales_a_day
    price, floor = one.prices["stall"].printed, one.earnings["stall"].floor
    yield pounds(floor)
    percent = next(step for step in range(100, -1, -1) if price * (100 - step) / 100 >= floor)
    yield f"{percent}%"
    for share in (Decimal(100), *OFF.values()):
        less = (price * share / 100).quantize(PENNY, ROUND_HALF_UP)
        left = less - less * channel.fee_percent / 100 - channel.fee_each - day
        sign = "" if less >= floor else "↓ "
        under = "" if less >= floor else " under the floor"
        yield f"{sign}{pounds(less)}{under} {pounds(left)}"


def test_the_page_gives_what_is_left_of_every_step(demo: Demo) -> None:
    """Each variant's row holds its floor price, how far it goes down, and each discount's price and remainder."""
    page = read_page(demo.output / "bench" / "discounts.html")
    heads = [text_of(cell) for cell in page.select("thead th")]
    assert heads == ["Variant", "Floor price", "Goes down by up to", "Stall price", *OFF]
    found = [row.select("td") for row in page.select("tbody tr:not(.group)")]
    rows = [[" ".join(cell.get_text(" ").split()) for cell in cells] for cells in found]
    in_order = sorted(demo.calculations, key=lambda one: one.product.keys.title.casefold())
    assert rows == [list(calculated(demo, one)) for one in in_order]
    assert any("under the floor" in cell for row in rows for cell in row)
    assert not all("under the floor" in row[-2] for row in rows)


def test_the_pdf_gives_what_the_page_gives(demo: Demo) -> None:
    """Every amount of the page stands in the PDF, as often; a price under the floor has its sign and a frame."""
    page = read_page(demo.output / "bench" / "discounts.html")
    text = pdf_text(demo.output / "bench" / "discounts.pdf")
    words = " ".join(text_of(cell) for cell in page.select("td")).replace("£", " £").split()
    on_page = sorted(word for word in words if "£" in word)
    assert sorted(word for word in text.split() if word.startswith("£")) == on_page
    under = len(page.select("td.under"))
    assert under > 0
    assert text.count("↓") == under
    pages = pages_of((demo.output / "bench" / "discounts.pdf").read_bytes())
    framed = [stroke for one in pages for stroke in one.strokes if len(stroke.points) >= 4]
    assert len(framed) >= under


def test_every_page_of_the_pdf_says_that_it_is_private(demo: Demo) -> None:
    """A sheet that is left lying on the table says on every page that it is not for customers."""
    for page in pages_of((demo.output / "bench" / "discounts.pdf").read_bytes()):
        assert "Private: for the bench, not for customers" in page.text()


def test_a_design_is_named_over_its_variants_on_every_page(demo: Demo) -> None:
    """Where a design runs over to the next page, its name stands there again."""
    titles = {one.product.keys.title for one in demo.calculations}
    pages = pages_of((demo.output / "bench" / "discounts.pdf").read_bytes())
    assert len(pages) > 2
    for page in pages:
        lines = page.text().splitlines()
        first = next(index for index, line in enumerate(lines) if "£" in line)
        assert any(line.strip() in titles for line in lines[:first])
        assert lines[-1] not in titles


def test_it_lies_with_the_bench_alone(demo: Demo) -> None:
    """The sheet is linked from the bench's first page, and nothing of its name is published."""
    links = {str(link["href"]) for link in read_page(demo.output / "bench" / "index.html").select("a[href]")}
    assert {"discounts.html", "discounts.pdf", "trade_price_sheet.pdf"} <= links
    found: list[Path] = [path for name in ("catalogue", "stall") for path in (demo.output / name).rglob("*discount*")]
    assert found == []
