"""The catalogue in one file opens alone: no request, no script, by keyboard, by day and by night, on paper."""

from __future__ import annotations

import shutil
from io import BytesIO
from pathlib import Path

import pypdfium2
import pytest
from playwright.sync_api import Browser, expect

from tests.browser.axe_rules import SEEN
from tests.browser.conftest import Opener
from tests.browser.kinds import address
from tests.browser.test_access import STOP
from tests.browser.test_opening import BEYOND, MISSING, WIDTHS
from tests.publish.demo import Demo

pytestmark = pytest.mark.browser


@pytest.fixture
def alone(demo: Demo, tmp_path: Path) -> str:
    """The address of the file in a folder where nothing else is, as a mail program saves it."""
    there = tmp_path / "a b.html"
    shutil.copy(demo.output / "catalogue" / "to-send" / "withyslip-glass.html", there)
    return there.as_uri()


def test_it_asks_for_nothing(browser: Browser, alone: str) -> None:
    """Opened from a folder of its own it loads no other file, says nothing to the console, and shows every picture."""
    wrong: list[str] = []
    asked: list[str] = []
    page = browser.new_page()
    page.on("console", lambda message: wrong.append(message.text) if message.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("request", lambda request: asked.append(request.url) if not request.url.startswith("data:") else None)
    page.goto(alone, wait_until="load")
    assert page.evaluate(MISSING) == []
    family = page.locator("h1").evaluate("one => getComputedStyle(one).fontFamily.split(',')[0].replaceAll('\"', '')")
    assert page.evaluate("name => document.fonts.check(`16px '${name}'`)", family)
    page.close()
    assert (wrong, asked) == ([], [alone])


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_in_it(demo: Demo, open_page: Opener, alone: str, scheme: str) -> None:
    """No rule of axe is broken, by day or by night: alone, all that the rules read is as it is in its folder.

    There ``test_access.py`` finds nothing in it, in these looks and others; looking again would take long.
    """
    seen = [
        (page.evaluate(SEEN, True), page.locator("body").inner_text())
        for page in (open_page(alone, scheme=scheme), open_page(address(demo, "to-send"), scheme=scheme))
    ]
    assert seen[0] == seen[1]
    assert len(seen[0][0]) > 100_000


def test_it_fits_every_screen(open_page: Opener, alone: str) -> None:
    """At the width of a phone, a tablet and a desk it fits from side to side."""
    page = open_page(alone)
    beyond = {}
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 800})
        beyond[width] = page.evaluate(BEYOND)
    assert beyond == {width: [] for width in WIDTHS}


def test_its_contents_lead_to_a_product_without_scripts(open_page: Opener, alone: str) -> None:
    """A click in the list of contents brings the product into view, and its link those cautions that hold for all."""
    page = open_page(alone, scripts=False)
    page.locator(".contents a", has_text="Net loft panel").click()
    piece = page.locator("#piece-net-loft-panel")
    expect(piece.get_by_role("heading", level=3)).to_be_in_viewport()
    piece.locator('a[href="#care"]').click()
    expect(page.locator("#care-title")).to_be_in_viewport()


def test_keyboard_shows_where_it_is(open_page: Opener, alone: str) -> None:
    """The tab key stops first at the way past the navigation, and every stop is marked."""
    page = open_page(alone)
    stops = []
    for _ in range(40):
        page.keyboard.press("Tab")
        stops.append(page.evaluate(STOP))
    assert "skip" in stops[0]["what"]
    assert [stop["what"] for stop in stops if not (stop["marked"] and stop["seen"])] == []


def test_it_prints_a_product_to_a_page(browser: Browser, demo: Demo, alone: str) -> None:
    """On paper each product but the first of a series begins a page, and every price is there."""
    page = browser.new_page()
    page.goto(alone)
    document = pypdfium2.PdfDocument(BytesIO(page.pdf(format="A4", prefer_css_page_size=True)))
    page.close()
    texts = [" ".join(one.get_textpage().get_text_bounded().split()) for one in document]
    for listing in demo.calculated.listings:
        assert any(listing.summary in text for text in texts), listing.slug
    assert len(demo.calculated.listings) < len(texts) < 3 * len(demo.calculated.listings)
