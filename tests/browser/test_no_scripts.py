"""Without scripts everything is still there: every word, every price, every picture, every way about."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opener
from tests.browser.kinds import CATALOGUE, KINDS, address
from tests.browser.test_product import wanted
from tests.publish.demo import Demo

pytestmark = pytest.mark.browser


def words_of(page: Page) -> set[str]:
    """Give the words that can be seen on a page, but for the picker and the finder, which need scripts to work."""
    page.add_style_tag(content="#chooser, #finder { display: none !important; }")
    return set(page.locator("body").inner_text().split())


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("kind", KINDS)
def test_every_word_is_there_without_scripts(demo: Demo, open_page: Opener, kind: str, width: int) -> None:
    """What can be read with scripts can be read without."""
    with_scripts = words_of(open_page(address(demo, kind), width=width))
    assert len(with_scripts) > 20
    page = open_page(address(demo, kind), width=width, scripts=False)
    assert with_scripts - set(page.locator("body").inner_text().split()) == set()


def test_every_price_size_and_weight_is_in_the_table(demo: Demo, open_page: Opener) -> None:
    """Without scripts, every product's page has every variant's price, sizes and weight in a row of its table."""
    page = open_page(address(demo, "home"), width=390, height=844, scripts=False)
    for listing in demo.calculated.listings:
        page.goto((demo.output / "catalogue" / "products" / f"{listing.slug}.html").as_uri())
        page.locator("details:has(table.choices) > summary").click()
        rows = page.locator("table.choices tbody tr")
        expect(rows).to_have_count(len(listing.offers))
        texts = [" ".join(text.split()) for text in rows.all_inner_texts()]
        for text, offer in zip(texts, listing.offers, strict=True):
            assert [word for word in wanted(offer).values() if word not in text] == [], f"{listing.slug}: {text}"
        assert rows.evaluate_all("rows => rows.every((row) => row.getClientRects().length > 0)")


# The page for lost visitors is looked at without scripts as hosts show it: see test_lost.
@pytest.mark.parametrize("kind", [kind for kind in CATALOGUE if kind != "not-found"])
def test_every_picture_is_laid_out_without_scripts(demo: Demo, open_page: Opener, kind: str) -> None:
    """Without scripts every picture has a place on the page, and comes when it is scrolled to."""
    page = open_page(address(demo, kind), scripts=False)
    pictures = page.locator("main picture img").all()
    hidden = page.locator(".beside-pictures img").count() and not page.locator(".beside-pictures").is_visible()
    for picture in pictures if not hidden else []:
        picture.scroll_into_view_if_needed()
        expect(picture).to_be_visible()
        expect(picture).not_to_have_js_property("naturalWidth", 0)


def test_gallery_shows_each_picture_without_scripts(demo: Demo, open_page: Opener) -> None:
    """Without scripts each small picture leads to its large one, and the strip can be swiped from end to end."""
    page = open_page(address(demo, "product-with-photos"), width=390, height=844, scripts=False)
    thumbs = page.locator(".thumbs a")
    expect(thumbs).to_have_count(4)
    for index in (3, 1, 2, 0):
        thumbs.nth(index).click()
        expect(page.locator(f"#picture-{index + 1}")).to_be_in_viewport(ratio=0.5)
        picture = page.locator(f"#picture-{index + 1} :is(picture img, .choice-drawing)")
        expect(picture).to_be_in_viewport(ratio=0.5)


def test_menu_leads_everywhere_without_scripts(demo: Demo, open_page: Opener) -> None:
    """Without scripts the menu leads to every series and page, and from a series to a product and on."""
    page = open_page(address(demo, "home"), width=390, height=844, scripts=False)
    for name in page.locator(".top nav a").all_text_contents():
        expect(page.locator(".top nav")).to_be_hidden()
        page.locator(".menu-button").click()
        page.locator(".top nav a", has_text=re.compile(f"^{re.escape(name)}$")).click()
        expect(page.locator(".top nav a[aria-current=page]")).to_have_text(name)
        expect(page.locator("h1")).to_be_visible()
    page.goto(address(demo, "series"))
    title = page.locator(".card h2").first.inner_text()
    page.locator(".card h2 a").first.click()
    expect(page.locator("h1")).to_have_text(title)
    page.locator(".offer-series a").click()
    expect(page).to_have_url(re.compile(r"/series/quay\.html$"))
