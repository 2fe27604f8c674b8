"""A reduced price is the same everywhere, with the earlier one beside it, and it comes and goes by its days."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from catalog_builder.build import calculate
from catalog_builder.commands.tags import TagRequest, set_tags
from catalog_builder.pricing.priced_day import offers_on
from catalog_builder.publish.studio_calculation import quiet
from tests.english import english
from tests.publish.demo import DAY, Demo, build_in, lay_out_known
from tests.publish.page import read_page, structured_data, text_of
from tests.publish.sheet import pdf_text

SMALL, LARGE = "noon-sun--small--copper--noon", "noon-sun--large--copper--noon"
COLUMNS = "product,size,finish,glass,channel,first_day,last_day,reason,percent,price,earlier,under_floor,note\n"
ROWS = (
    "noon-sun,small,copper,noon,,2026-11-20,2026-11-30,sale,10,,,,\n"
    "noon-sun,large,copper,noon,stall,2026-11-20,2026-11-30,second,,1.00,,yes,A scratch on one ray.\n"
    "noon-sun,medium,copper,noon,,2026-12-01,2026-12-10,sale,20,,,,\n"
    "noon-sun,medium,black,low,,2026-11-01,2026-11-05,sale,20,,60.00,,\n"
)
# Of the small one: 50.00 for long, 46.00 for a week within the 30 days, then 52.00.
BOOK = "date,variant,channel,price\n" + "".join(
    f"{day},{sku},{channel},{price}\n"
    for channel in ("online", "stall")
    for sku, rows in {
        SMALL: (("2026-01-01", 50), ("2026-10-30", 46), ("2026-11-06", 52)),
        LARGE: (("2026-01-01", 70),),
        "noon-sun--medium--copper--noon": (("2026-01-01", 60),),
    }.items()
    for day, price in rows
)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Demo]:
    """One product with a price book and four reductions: two that hold, one to come, and one that is over."""
    project = lay_out_known(tmp_path_factory.mktemp("reduced"), "noon-sun")
    (project / "content" / "reductions.csv").write_text(COLUMNS + ROWS, encoding="utf-8")
    (project / "content" / "price_book.csv").write_text(BOOK, encoding="utf-8")
    yield build_in(project)


SAID = "Sale, 10% less until 30 November 2026. Lowest price of the 30 days before: £46."


def test_page_sheet_tag_and_structured_data_agree(shop: Demo) -> None:
    """10 % off 46.00, the lowest of the 30 days, is 41.40: on the page, the sheet, the tag and for machines."""
    page = read_page(shop.output / "catalogue" / "products" / "noon-sun.html")
    (cell,) = [cell for cell in page.select("td.is-price") if "Sale" in text_of(cell)]
    assert text_of(cell) == f"£41.40 £46 {SAID}"
    assert text_of(cell.select("s")[0]) == "£46"
    variants = {each["sku"]: each["offers"] for each in structured_data(page)["hasVariant"]}
    told = variants[SMALL]
    assert (told["price"], told["priceValidUntil"]) == ("41.40", "2026-11-30")
    assert told["priceSpecification"] == {
        "@type": "UnitPriceSpecification",
        "priceType": "https://schema.org/StrikethroughPrice",
        "price": "46.00",
        "priceCurrency": "GBP",
    }
    assert [sku for sku, offer in variants.items() if "priceSpecification" in offer] == [SMALL]
    sheet = text_of(read_page(shop.output / "stall" / "price_sheet.html").select("body")[0])
    printed = " ".join(pdf_text(shop.output / "stall" / "price_sheet.pdf").split())
    for text in (sheet, printed):
        assert f"£41.40 {SAID}" in text
    tags = set_tags(shop.calculated, TagRequest())[1]
    assert tags is not None
    path = shop.project / "tags.pdf"
    path.write_bytes(tags.pdfs[0])
    assert "£41.40 Lowest price of the 30 days before: £46." in " ".join(pdf_text(path).split())


def test_a_second_says_its_flaw_and_is_told_to_the_maker(shop: Demo) -> None:
    """A price under the floor goes ahead where its row says so, with a finding; the note stands beside the price."""
    sheet = text_of(read_page(shop.output / "stall" / "price_sheet.html").select("body")[0])
    assert "£1 Second, with a flaw, until 30 November 2026." in sheet
    assert "Lowest price of the 30 days before: £70. A scratch on one ray." in sheet
    (finding,) = [finding for finding in shop.calculated.findings if finding.code == "R01"]
    assert english(finding.text).startswith(f"{LARGE}: its reduced price in “Market stall” is under the floor price")
    assert [finding for finding in shop.calculated.findings if finding.code == "R02"] == []


def test_what_is_over_or_to_come_changes_nothing(shop: Demo) -> None:
    """Only the days of a reduction have its price; earnings and price lists go with what is asked."""
    reduced = {variant.offer.sku: set(variant.reduced) for variant in shop.calculations if variant.reduced}
    assert reduced == {SMALL: {"online", "stall"}, LARGE: {"stall"}}
    (small,) = [variant for variant in shop.calculations if variant.offer.sku == SMALL]
    assert str(small.prices["online"].printed) == "41.40"
    assert small.earnings["online"].left_after_fees < small.prices["online"].before_tax
    assert small.standings["online"].published.printed == 52


def test_a_market_has_the_reductions_of_its_day(shop: Demo) -> None:
    """On 5 December the sale of the small one is over and that of the medium one holds: 20 % off 60.00 is 48.00."""
    offers = offers_on(shop.calculated.content.price_records, shop.calculations, date(2026, 12, 5))
    medium = offers["noon-sun--medium--copper--noon"].stall
    assert (str(offers[SMALL].stall.printed), offers[SMALL].stall.reduction) == ("52.00", None)
    assert str(medium.printed) == "48.00"
    assert medium.reduction is not None
    assert str(medium.reduction.earlier) == "60.00"


def test_an_earlier_price_of_few_days_is_a_finding(tmp_path: Path) -> None:
    """A piece in the book for eleven days is reduced from the lowest of these, and the maker reads that it is new."""
    project = lay_out_known(tmp_path, "noon-sun")
    row = "noon-sun,small,copper,noon,online,2026-11-21,2026-11-30,sale,10,,,,\n"
    (project / "content" / "reductions.csv").write_text(COLUMNS + row, encoding="utf-8")
    book = f"date,variant,channel,price\n2026-11-10,{SMALL},online,60\n"
    (project / "content" / "price_book.csv").write_text(book, encoding="utf-8")
    calculated = calculate(project, DAY, quiet)
    (finding,) = [finding for finding in calculated.findings if finding.code == "R02"]
    assert "the prices of only 11 days are known" in english(finding.text)
    assert finding.place.line == 2
    assert (
        str(next(each for each in calculated.calculations if each.offer.sku == SMALL).prices["online"].printed)
        == "54.00"
    )
