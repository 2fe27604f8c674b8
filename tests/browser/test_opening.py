"""Every page opens whole: from its folder and from a host, on a phone and on a desk."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.conftest import Opener
from tests.browser.kinds import CATALOGUE, KINDS, SENT, address
from tests.browser.quiet_network import QuietNetwork
from tests.publish.demo import Demo

pytestmark = pytest.mark.browser

WIDTHS = (320, 390, 768, 1280)
# Brings pictures in that would wait for a scroll, and tells which of them do not come.
MISSING = """async () => {
  for (const image of document.images) image.loading = "eager";
  const came = await Promise.all([...document.images].map(
    (image) => image.decode().then(() => image.naturalWidth > 0, () => false)));
  return [...document.images].filter((_, index) => !came[index]).map((image) => image.currentSrc || image.src);
}"""
# Tells which parts reach beyond the right edge, for a page that can be scrolled sideways.
BEYOND = """() => {
  const room = document.documentElement.clientWidth;
  if (document.scrollingElement.scrollWidth <= room) return [];
  return [...document.body.querySelectorAll("*")].filter((one) => one.getBoundingClientRect().right > room + 0.5)
    .map((one) => `${one.tagName}.${one.className}`).slice(0, 8).concat("scrolls sideways");
}"""


class Watch:
    """Opens addresses in a page, and hears all that goes wrong there and all that is loaded."""

    def __init__(self, page: Page) -> None:
        self._page = page
        self._wrong: list[str] = []
        self._loaded: list[str] = []
        wrong, loaded = self._wrong, self._loaded
        page.on("console", lambda message: wrong.append(message.text) if message.type in ("error", "warning") else None)
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.on("requestfailed", lambda request: wrong.append(f"{request.url} failed"))
        page.on("response", lambda had: wrong.append(f"{had.url}: {had.status}") if had.status >= 400 else None)
        page.on("request", lambda request: loaded.append(request.url))
        self._quiet = QuietNetwork(page)

    def open(self, where: str, root: str) -> tuple[list[str], int]:
        """Open a page, bring in every picture, and give all that went wrong, and how much was loaded."""
        page = self._page
        page.goto("about:blank")
        self._wrong.clear()
        self._loaded.clear()
        page.goto(where, wait_until="load")
        missing = [f"{picture} is not shown" for picture in page.evaluate(MISSING)]
        self._quiet.wait()
        elsewhere = [f"{url} is elsewhere" for url in self._loaded if not url.startswith((root, "data:"))]
        return [*self._wrong, *missing, *elsewhere], len(self._loaded)


@pytest.fixture(scope="module")
def watch(browser: Browser) -> Iterator[Watch]:
    """A page that is watched, in a profile of its own."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    yield Watch(context.new_page())
    context.close()


@pytest.mark.parametrize("kind", KINDS)
def test_page_opens_from_its_folder(demo: Demo, watch: Watch, kind: str) -> None:
    """Opened as a file, a page loads styles, scripts, letters and pictures, all from its own folder or from itself."""
    folder = (demo.output / KINDS[kind].partition("/")[0]).as_uri() + "/"
    wrong, loaded = watch.open(address(demo, kind), folder)
    assert wrong == []
    assert (loaded == 1) if KINDS[kind] == SENT else (loaded >= 2)


@pytest.mark.parametrize("kind", CATALOGUE)
def test_page_opens_from_a_host(watch: Watch, host: str, kind: str) -> None:
    """Served by a host, a page of the catalogue loads everything from that host without an error."""
    wrong, loaded = watch.open(host + KINDS[kind], host)
    assert wrong == []
    assert loaded >= 2


@pytest.mark.parametrize("kind", KINDS)
def test_page_does_not_scroll_sideways(demo: Demo, open_page: Opener, kind: str) -> None:
    """At the width of a small phone, a phone, a tablet and a desk, a page fits from side to side."""
    page = open_page(address(demo, kind))
    beyond = {}
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 800})
        beyond[width] = page.evaluate(BEYOND)
    assert beyond == {width: [] for width in WIDTHS}


def test_costs_are_not_cut_off_on_a_phone(demo: Demo, open_page: Opener) -> None:
    """On the bench's first page every cost and price stands within a phone's width, beside its column's name."""
    page = open_page(address(demo, "cost-index"), width=390, height=844)
    amounts = page.locator('[aria-labelledby="designs"] td.number')
    assert amounts.count() == len(demo.calculations) * (1 + len(demo.calculated.content.studio.channels))
    boxes = amounts.evaluate_all("cells => cells.map(cell => [cell.getBoundingClientRect(), cell.scrollWidth])")
    assert all(box["width"] >= inside > 0 for box, inside in boxes)
    assert all(box["left"] >= 0 and box["right"] <= 390 for box, _ in boxes)
    shown = amounts.first.evaluate("cell => getComputedStyle(cell, '::before').content")
    assert shown == '"Cost"'


@pytest.mark.parametrize("kind", CATALOGUE)
def test_letters_are_the_themes_own(demo: Demo, open_page: Opener, kind: str) -> None:
    """Headings are set in the letters that come with the theme, not in whatever the machine has."""
    page = open_page(address(demo, kind))
    page.evaluate("() => document.fonts.ready.then(() => true)")
    family = page.locator("h1").evaluate("one => getComputedStyle(one).fontFamily.split(',')[0].replaceAll('\"', '')")
    assert family in page.evaluate(
        "() => [...document.fonts].filter(f => f.status == 'loaded').map(f => f.family.replaceAll('\"', ''))"
    )


@pytest.mark.parametrize("kind", CATALOGUE)
def test_links_are_large_enough_for_a_thumb(demo: Demo, open_page: Opener, kind: str) -> None:
    """On a phone, links and buttons that stand alone are at least 24 px either way (WCAG 2.2, 2.5.8)."""
    page = open_page(address(demo, kind), width=390, height=844)
    small = page.evaluate(
        """() => [...document.querySelectorAll("nav a, button, a.button, .thumbs a, .options label, .brand")]
          .filter((one) => one.getClientRects().length)
          .map((one) => [one.textContent.trim(), one.getBoundingClientRect()])
          .filter(([_, box]) => Math.min(box.width, box.height) < 23.5)
          .map(([words, box]) => `${words}: ${box.width} by ${box.height}`)"""
    )
    assert small == []


def test_every_link_of_the_front_page_leads_on(demo: Demo, open_page: Opener) -> None:
    """From the front page a visitor reaches every series and, by the series, every product."""
    page = open_page(address(demo, "home"))
    grab = "links => links.map((link) => link.href.split('#')[0])"
    all_series = {url for url in page.locator("a").evaluate_all(grab) if "/series/" in url}
    products = set()
    for url in sorted(all_series):
        page.goto(url)
        products |= {link for link in page.locator("main a").evaluate_all(grab) if "/products/" in link}
    assert len(all_series) == 4
    assert {url.rpartition("/")[2] for url in products} == {f"{one.slug}.html" for one in demo.calculated.listings}
