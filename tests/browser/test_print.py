"""Pages as the browser prints them."""

from __future__ import annotations

import re
from pathlib import Path

import pypdfium2
import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opener
from tests.browser.kinds import SHEET, address
from tests.publish.demo import Demo
from tests.publish.page import read_page, text_of
from tests.publish.sheet import pdf_text

pytestmark = pytest.mark.browser

A4_PT = (595, 842)
DOTS_A_PT = 2
MARGIN_PT = 12 / 25.4 * 72


def printed(page: Page, folder: Path) -> Path:
    """Print a page to a PDF on A4, as the page itself asks."""
    file = folder / "printed.pdf"
    page.pdf(path=file, format="A4", prefer_css_page_size=True)
    return file


def test_price_sheet_prints_every_price(demo: Demo, open_page: Opener, tmp_path: Path) -> None:
    """The price sheet's page prints all its prices, in order, on few enough sheets for a table."""
    file = printed(open_page(address(demo, "price-sheet")), tmp_path)
    cells = " ".join(text_of(cell) for cell in read_page(demo.output / SHEET).select("td"))
    prices = re.findall(r"£[\d,]+(?:\.\d\d)?", cells)
    assert len(prices) > 35
    assert sorted(re.findall(r"£[\d,]+(?:\.\d\d)?", pdf_text(file))) == sorted(prices)
    with pypdfium2.PdfDocument(file) as document:
        # In letters that are read at arm's length a sheet of A4 holds four designs or so, with three sizes each.
        assert 3.5 * len(document) <= len(demo.calculated.listings)


def test_price_sheet_keeps_within_the_margins(demo: Demo, open_page: Opener, tmp_path: Path) -> None:
    """Nothing of the printed price sheet stands in the outer 12 mm that home printers leave blank."""
    file = printed(open_page(address(demo, "price-sheet")), tmp_path)
    with pypdfium2.PdfDocument(file) as document:
        for page in document:
            # The browser rounds up to whole points.
            assert all(abs(side - asked) < 1.5 for side, asked in zip(page.get_size(), A4_PT, strict=True))
            picture = page.render(scale=DOTS_A_PT, grayscale=True).to_numpy()
            inked = picture.reshape(picture.shape[:2]) < 250
            edge = int(MARGIN_PT * DOTS_A_PT)
            assert inked[edge:-edge, edge:-edge].any()
            inked[edge:-edge, edge:-edge] = False
            assert not inked.any()


def test_price_sheet_is_black_on_white_by_night(demo: Demo, open_page: Opener) -> None:
    """On paper the price sheet is black on white, whatever the screen's colours are."""
    page = open_page(address(demo, "price-sheet"), scheme="dark")
    page.emulate_media(media="print", color_scheme="dark")
    style = page.locator("body").evaluate("one => [getComputedStyle(one).backgroundColor, getComputedStyle(one).color]")
    assert style == ["rgb(255, 255, 255)", "rgb(0, 0, 0)"]


def test_price_sheet_keeps_a_size_with_its_prices(demo: Demo, open_page: Opener, tmp_path: Path) -> None:
    """No size's heading is the last line of a printed page: its prices follow on the same one."""
    file = printed(open_page(address(demo, "price-sheet")), tmp_path)
    with pypdfium2.PdfDocument(file) as document:
        lasts = [page.get_textpage().get_text_bounded().strip().splitlines()[-1].strip() for page in document]
    assert not [last for last in lasts if re.fullmatch(r"(\w+: )?[\d,]+ × [\d,]+( × [\d,]+)? mm", last)]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_product_prints_what_a_buyer_needs(demo: Demo, open_page: Opener, scheme: str) -> None:
    """A printed product page keeps title, table and cautions, and drops what only a screen can do."""
    page = open_page(address(demo, "product-with-photos"), scheme=scheme)
    page.emulate_media(media="print", color_scheme="dark" if scheme == "dark" else "light")
    for kept in ("h1", "table.choices", ".pane-caution", ".foot-studio"):
        expect(page.locator(kept).first).to_be_visible()
    for dropped in (".top nav", ".foot nav", "#chooser", ".gallery-foot", "#enquire", ".skip"):
        expect(page.locator(dropped).first).to_be_hidden()
    assert page.locator("body").evaluate("one => getComputedStyle(one).color") == "rgb(0, 0, 0)"


def test_product_prints_its_prices_and_pictures(demo: Demo, open_page: Opener, tmp_path: Path) -> None:
    """The printed product page holds every price of its table, and its pictures, though nobody scrolled to them."""
    page = open_page(address(demo, "product-with-photos"))
    prices = [text_of(cell) for cell in read_page(page.content()).select("td.is-price > span")]
    file = printed(page, tmp_path)
    text = pdf_text(file)
    assert len(prices) >= 8
    assert all(text.count(price) >= prices.count(price) for price in set(prices))


def test_product_prints_on_one_sheet_with_its_address(demo: Demo, open_page: Opener, tmp_path: Path) -> None:
    """Every product's page is one sheet of A4 in print, with each price, each caution and the address it came from."""
    page = open_page(address(demo, "home"))
    for listing in demo.calculated.listings:
        page.goto((demo.output / "catalogue" / "products" / f"{listing.slug}.html").as_uri())
        there = read_page(page.content())
        prices = [text_of(cell) for cell in there.select("td.is-price > span")]
        cautions = [text_of(line) for line in there.select(".pane-caution li")]
        file = printed(page, tmp_path)
        with pypdfium2.PdfDocument(file) as document:
            assert len(document) == 1, listing.slug
        text = " ".join(pdf_text(file).split())
        assert f"/products/{listing.slug}.html" in text.replace(" ", ""), listing.slug
        assert all(text.count(price) >= prices.count(price) for price in set(prices)), listing.slug
        assert cautions
        assert [line for line in cautions if line.replace(" ", "") not in text.replace(" ", "")] == [], listing.slug
