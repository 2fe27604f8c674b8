"""The plain theme can be used by everyone, and lays out the pages that it takes from the theme below."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.axe_rules import LookedAt
from tests.browser.conftest import Opener
from tests.browser.test_opening import BEYOND, WIDTHS
from tests.browser.test_reading import CUT_OFF
from tests.publish.demo import Demo, build_in, lay_out_known, reworded

pytestmark = pytest.mark.browser

PAGES = (
    "catalogue/index.html",
    "catalogue/series/shore.html",
    "catalogue/products/queen-scallop.html",
    "catalogue/find.html",
    "catalogue/about.html",
    "catalogue/care.html",
    "catalogue/dates.html",
    "catalogue/404.html",
    "catalogue/to-send/withyslip-glass.html",
    "stall/price_sheet.html",
)

# Tells which drawings, pictures and tables reach out of a box that cuts them off, and which words out of a drawing.
CUT_PICTURES = """() => [...document.querySelectorAll("main svg, main img, main table")].flatMap((one) => {
  const box = one.getBoundingClientRect(), cut = [];
  if (!box.width) return cut;
  const beyond = (inner, outer) => inner.right > outer.right + 1 || inner.left < outer.left - 1;
  for (const words of one.matches("svg") ? one.querySelectorAll("text") : [])
    if (beyond(words.getBoundingClientRect(), box)) cut.push(`words: ${words.textContent}`);
  for (let part = one.parentElement; part && part !== document.body; part = part.parentElement) {
    const way = getComputedStyle(part).overflowX;
    if (/auto|scroll/.test(way)) break;
    if (way !== "visible" && beyond(box, part.getBoundingClientRect())) cut.push(one.outerHTML.slice(0, 80));
  }
  return cut;
})"""


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """Two products in the theme Limewash."""
    project = lay_out_known(tmp_path_factory.mktemp("plain") / "studio", "queen-scallop", "two-waxcaps")
    reworded(project / "content" / "studio.toml", ('theme = "daylight"', 'theme = "limewash"'))
    return build_in(project)


@pytest.mark.parametrize("path", PAGES)
def test_axe_finds_nothing(plain: Demo, open_page: Opener, path: str) -> None:
    """No rule of axe is broken on any page, also on those whose template is the other theme's, by day or by night."""
    page = open_page((plain.output / path).as_uri())
    looked_at = LookedAt(page)
    assert looked_at.violations() == []
    page.emulate_media(color_scheme="dark")
    assert looked_at.violations() == []


def test_nothing_is_cut_off_at_any_width(plain: Demo, open_page: Opener) -> None:
    """From a small phone to a wide desk, no words, drawing or table reach out of a box that would cut them off."""
    page = open_page((plain.output / PAGES[0]).as_uri())
    for path in PAGES:
        page.goto((plain.output / path).as_uri())
        for width in (320, 390, 600, 768, 1024, 1280, 1600):
            page.set_viewport_size({"width": width, "height": 800})
            assert page.evaluate(BEYOND) == [], f"{path} at {width}"
            assert page.evaluate(CUT_OFF) == [], f"{path} at {width}"
            assert page.evaluate(CUT_PICTURES) == [], f"{path} at {width}"


def test_it_has_letters_of_its_own(plain: Demo, open_page: Opener) -> None:
    """Pages are set in the theme's own letters, which come from its own folder."""
    page = open_page((plain.output / "catalogue" / "index.html").as_uri())
    assert page.evaluate("document.fonts.ready.then(() => document.fonts.check('600 20px Literata'))")
    loaded = page.evaluate("[...document.fonts].filter((one) => one.status === 'loaded').map((one) => one.family)")
    assert "Literata" in {str(name).strip('"') for name in loaded}


def test_filter_works_in_this_theme_too(plain: Demo, open_page: Opener) -> None:
    """The list of all pieces can be narrowed by words and by choices, as in the theme that lends the page."""
    page = open_page((plain.output / "catalogue" / "find.html").as_uri())
    page.locator("#words").fill("waxcaps")
    expect(page.locator("#pieces .card:visible h2")).to_have_text(["Two waxcaps"])
    page.locator("#words").fill("")
    page.locator("#finder label:has(input[name=series])").first.click()
    expect(page.locator("#pieces .card:visible")).to_have_count(1)


@pytest.mark.parametrize("path", PAGES)
def test_page_does_not_scroll_sideways(plain: Demo, open_page: Opener, path: str) -> None:
    """Every page fits a small phone, a phone, a tablet and a desk from side to side."""
    page = open_page((plain.output / path).as_uri())
    beyond = {}
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 800})
        beyond[width] = page.evaluate(BEYOND)
    assert beyond == {width: [] for width in WIDTHS}
