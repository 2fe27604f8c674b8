"""The look book: a PDF that can be read aloud, leafed through and printed on the studio's paper."""

from __future__ import annotations

import ctypes
import re
from decimal import Decimal
from pathlib import Path

import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from markupsafe import Markup

from catalog_builder.publish.catalogue.listing_view import CatalogueContent
from catalog_builder.publish.sheets.printed_text import printed
from tests.publish.buyers import pounds
from tests.publish.demo import Demo, build_in, lay_out_known, reworded

MM = 25.4 / 72


@pytest.fixture(scope="module")
def book(demo: Demo) -> pypdfium2.PdfDocument:
    """The demo's look book."""
    return pypdfium2.PdfDocument(demo.output / "catalogue" / "to-send" / "withyslip-glass.pdf")


def words(book: pypdfium2.PdfDocument) -> str:
    """All that can be read in a book, with single spaces."""
    return " ".join(" ".join(page.get_textpage().get_text_bounded() for page in book).split())


def test_it_is_accessible(demo: Demo) -> None:
    """The book is tagged and says that it keeps to PDF/UA-1 (ISO 14289-1: pdfuaid:part is 1)."""
    data = (demo.output / "catalogue" / "to-send" / "withyslip-glass.pdf").read_bytes()
    assert re.search(rb"<pdfuaid:part>1</pdfuaid:part>", data)
    document = pypdfium2.PdfDocument(data)
    assert pdfium.FPDFCatalog_IsTagged(document.raw)
    assert document.get_metadata_value("Title") == "Withyslip Glass: look book of 25 November 2026"


def test_bookmarks_name_every_series_and_product(demo: Demo, book: pypdfium2.PdfDocument) -> None:
    """The list of bookmarks is the catalogue's contents, products under their series."""
    marks = [(one.level, one.get_title()) for one in book.get_toc()]
    titles = {title for level, title in marks if level == 1}
    assert {one.title for one in demo.calculated.listings} <= titles
    all_series = demo.calculated.content.studio.series.values()
    assert [title for level, title in marks if level == 0][: len(all_series)] == [one.title for one in all_series]


def test_it_holds_every_online_price(demo: Demo, book: pypdfium2.PdfDocument) -> None:
    """Every product's page gives each of its own-site prices, and none that is not one."""
    marks = {one.get_title(): one.get_dest().get_index() for one in book.get_toc()}
    for listing in demo.calculated.listings:
        page = words([book[marks[listing.title]]])
        shown = set(re.findall(r"£\d+(?:\.\d\d)?", page))
        posted = {
            pounds(one.offer.parcel.postage or Decimal(0)) for one in demo.variants(listing.slug) if one.offer.parcel
        }
        prices = {pounds(one.prices["online"].printed) for one in demo.variants(listing.slug)}
        assert shown - posted == prices - posted, listing.slug
        assert prices <= shown, listing.slug


def test_products_lead_to_their_pages(demo: Demo, book: pypdfium2.PdfDocument) -> None:
    """A link on a product's page leads to that product on the studio's site."""
    found = set()
    data = (demo.output / "catalogue" / "to-send" / "withyslip-glass.pdf").read_bytes()
    for one in demo.calculated.listings:
        if f"https://withyslip.example/products/{one.slug}.html".encode() in data:
            found.add(one.slug)
    assert len(book) > len(demo.calculated.listings)
    assert found == {one.slug for one in demo.calculated.listings}


def test_every_caution_is_in_it(demo: Demo, book: pypdfium2.PdfDocument) -> None:
    """Cautions that hold for all pieces stand at the end, others with their piece."""
    text = re.sub(r"\W+", "", words(book))
    labels = demo.calculated.theme.labels["cautions"]
    codes = {code for listing in demo.calculated.listings for code in listing.cautions}
    assert [code for code in codes if re.sub(r"\W+", "", labels[code]) not in text] == []


@pytest.mark.parametrize(
    ("paper", "size"),
    # ISO 216 (A4) and ANSI/ASME Y14.1 (Letter), both from memory: width and height in mm.
    [("A4", (210.0, 297.0)), ("Letter", (215.9, 279.4))],
)
def test_every_page_is_of_the_studios_paper(tmp_path: Path, paper: str, size: tuple[float, float]) -> None:
    """On either paper a product with a long title, no photo and many variants keeps its words on the pages."""
    project = lay_out_known(tmp_path / "studio", "net-loft-panel", "queen-scallop")
    reworded(project / "content" / "studio.toml", ('paper = "A4"', f'paper = "{paper}"'))
    long = "A panel of squares turned in squares, for the landing window of the old net loft above the quay"
    reworded(
        project / "content" / "products" / "net-loft-panel" / "product.md", ("title: Net loft panel", f"title: {long}")
    )
    demo = build_in(project)
    book = pypdfium2.PdfDocument(next((demo.output / "catalogue" / "to-send").glob("*.pdf")))
    for page in book:
        assert [round(side * MM, 1) for side in page.get_size()] == list(size)
        width, height = page.get_size()
        for one in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_TEXT]):
            left, low, right, high = one.get_bounds()
            assert left > 20 and right < width - 20 and low > 20 and high < height - 20
    assert long in words(book)


def test_letters_are_the_themes_own(book: pypdfium2.PdfDocument) -> None:
    """Every letter is set in the theme's own and embedded, so that it prints alike everywhere."""
    names = set()
    for page in book:
        for one in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_TEXT]):
            font = pdfium.FPDFTextObj_GetFont(one.raw)
            assert pdfium.FPDFFont_GetIsEmbedded(font) == 1
            name = ctypes.create_string_buffer(100)
            pdfium.FPDFFont_GetBaseFontName(font, name, 100)
            names.add(name.value.decode().partition("+")[2] or name.value.decode())
    assert {name.partition("-")[0] for name in names} == {"YsabeauOffice"}


def test_marked_up_text_is_taken_apart() -> None:
    """Paragraphs, lists, headings and links of a description come to the sheet with what was marked in them."""
    blocks = printed(Markup("<h2>Head</h2>\n<p>One <strong>two</strong>\nthree.</p><ul><li><em>a</em></li></ul>loose"))
    assert [(block["kind"], "".join(run["text"] for run in block["runs"])) for block in blocks] == [
        ("head", "Head"),
        ("text", "One two three."),
        ("item", "a"),
        ("text", "loose"),
    ]
    assert [run["text"] for run in blocks[1]["runs"] if run["strong"]] == ["two"]
    linked = printed(Markup('<p><a href="https://a.example/">a</a>b<br>c</p>'))
    assert [(run["text"], run["href"]) for run in linked[0]["runs"]] == [
        ("a", "https://a.example/"),
        ("b", ""),
        (" ", ""),
        ("c", ""),
    ]


def test_book_sees_no_cost() -> None:
    """What the book is made of holds no cost: it is the catalogue's own."""
    assert set(CatalogueContent.__dataclass_fields__) == {
        "studio",
        "all_series",
        "own_pages",
        "markets",
        "texts",
        "listings",
        "pictures",
        "day",
        "theme",
        "store",
    }
