"""A product's page at work: the picker, the gallery, the table, and the page without scripts."""

from __future__ import annotations

import re
from urllib.parse import unquote

import pytest
from playwright.sync_api import Page, expect

from catalog_builder.offer import Offer
from tests.browser.conftest import Opener
from tests.browser.kinds import address
from tests.publish.buyers import pounds, sides
from tests.publish.demo import PICTURED, Demo

pytestmark = pytest.mark.browser


def offers(demo: Demo, slug: str) -> tuple[Offer, ...]:
    """Give what a product's variants offer."""
    return next(one for one in demo.calculated.listings if one.slug == slug).offers


def picked(offer: Offer, demo: Demo) -> dict[str, str]:
    """Give the words that pick an offer, part by part, where its product has a choice."""
    finishes = {one.finish for one in offers(demo, PICTURED)}
    words = {"size": offer.size, "finish": offer.finish if len(finishes) > 1 else "", "glass": offer.glass}
    return {part: word for part, word in words.items() if word}


def chosen(page: Page) -> dict[str, str]:
    """Read what the picker says of the choice."""
    where = {"price": "#asked-price"} | {
        name: f"#chosen .is-{name} dd" for name in ("glass_size", "hung_size", "weight")
    }
    return {name: " ".join(page.locator(place).inner_text().split()) for name, place in where.items()}


def wanted(offer: Offer) -> dict[str, str]:
    """Say what a buyer should read of an offer, worked out here by other means than the program's."""
    step = max(step for step in (1, 2, 5, 10, 20, 50, 100, 200, 500) if step == 1 or step <= offer.mass_within_g)
    return {
        "price": pounds(offer.online_price),
        "glass_size": sides(offer.sides_mm),
        "hung_size": sides((offer.width_mm, offer.hung_height_mm)),
        "weight": f"about {int(offer.mass_g / step + 0.5) * step} g",
    }


def test_picker_shows_every_combination(demo: Demo, open_page: Opener) -> None:
    """Whatever size, finish and glass a buyer picks, the picker shows that variant's price, sizes and weight."""
    page = open_page(address(demo, "product-with-photos"))
    expect(page.locator("#chooser")).to_be_visible()
    read, calculated = {}, {}
    for offer in offers(demo, PICTURED):
        for part, word in picked(offer, demo).items():
            page.locator(f'.picks label:has(input[name="{part}"][value="{word}"])').click()
        read[offer.sku], calculated[offer.sku] = chosen(page), wanted(offer)
        row = page.locator(".choices tr.is-chosen")
        expect(row).to_have_count(1)
        assert wanted(offer)["price"] in (row.text_content() or "")
    assert len(read) >= 8
    assert read == calculated
    # Glass and finish change no price here: the sizes differ.
    sizes = {offer.size for offer in offers(demo, PICTURED)}
    assert len({tuple(words.items()) for words in read.values()}) == len(sizes) > 1


def test_picker_begins_with_the_first_variant(demo: Demo, open_page: Opener) -> None:
    """Before anything is picked, the picker shows the first variant of the record."""
    page = open_page(address(demo, "product-with-photos"))
    assert chosen(page) == wanted(offers(demo, PICTURED)[0])


def test_picker_is_worked_by_the_keyboard(demo: Demo, open_page: Opener) -> None:
    """An arrow key moves on to the next choice of a part, and the picker follows."""
    page = open_page(address(demo, "product-with-photos"))
    first = offers(demo, PICTURED)[0]
    page.locator('input[name="size"]').first.focus()
    page.keyboard.press("ArrowDown")
    larger = next(
        one
        for one in offers(demo, PICTURED)
        if one.size != first.size and (one.finish, one.glass) == (first.finish, first.glass)
    )
    assert chosen(page) == wanted(larger)
    assert chosen(page) != wanted(first)


def test_enquiry_names_what_was_picked(demo: Demo, open_page: Opener) -> None:
    """The mail that the page begins names the product in its subject and the picked variant in its body."""
    page = open_page(address(demo, "product-with-photos"))
    last = offers(demo, PICTURED)[-1]
    for part, word in picked(last, demo).items():
        page.locator(f'.picks label:has(input[name="{part}"][value="{word}"])').click()
    href = unquote(page.locator("#enquire").get_attribute("href") or "")
    assert href.startswith("mailto:hello@withyslip.example?subject=Quay lantern")
    assert href.count("body=") == 1
    for word in (*picked(last, demo).values(), last.sku, wanted(last)["price"], f"#{last.anchor}"):
        assert word in href


def test_gallery_is_worked_by_the_keyboard(demo: Demo, open_page: Opener) -> None:
    """The buttons of the gallery move picture by picture, mark the one in view, and say where they end."""
    page = open_page(address(demo, "product-with-photos"))
    thumbs, track = page.locator(".thumbs a"), page.locator(".gallery-track")
    after, before = page.locator('[data-step="next"]'), page.locator('[data-step="previous"]')
    expect(thumbs).to_have_count(4)
    expect(before).to_have_attribute("aria-disabled", "true")
    for index in (1, 2, 3):
        after.focus()
        page.keyboard.press("Enter")
        expect(thumbs.nth(index)).to_have_attribute("aria-current", "true")
    expect(page.locator('.thumbs a[aria-current="true"]')).to_have_count(1)
    expect(after).to_have_attribute("aria-disabled", "true")
    expect(page.locator("#picture-4")).to_be_in_viewport(ratio=0.5)
    thumbs.nth(0).focus()
    page.keyboard.press("Enter")
    expect(thumbs.nth(0)).to_have_attribute("aria-current", "true")
    assert track.evaluate("one => one.scrollLeft") == 0


def test_gallery_scrolls_by_arrow_keys(demo: Demo, open_page: Opener) -> None:
    """The strip of pictures takes the focus, and an arrow key moves it on."""
    page = open_page(address(demo, "product-with-photos"))
    track = page.locator(".gallery-track")
    track.focus()
    for _ in range(12):
        page.keyboard.press("ArrowRight")
        page.wait_for_timeout(30)
    expect(page.locator(".thumbs a").first).not_to_have_attribute("aria-current", "true")
    assert track.evaluate("one => one.scrollLeft") > 100


def test_browser_fetches_a_photo_that_fits(demo: Demo, open_page: Opener) -> None:
    """A phone is sent a smaller photo than a desk, and each the WebP."""
    widths = {}
    for width in (390, 1280):
        page = open_page(address(demo, "product-with-photos"), width=width)
        first = page.locator(".slide img:not(.cast)").first
        page.wait_for_function("one => one.complete && one.naturalWidth > 0", arg=first.element_handle())
        source = str(first.evaluate("one => one.currentSrc"))
        assert source.endswith(".webp")
        widths[width] = int(re.findall(r"-(\d+)\.webp$", source)[0])
    assert 390 <= widths[390] < widths[1280]


@pytest.mark.parametrize("width", [390, 1280])
def test_page_is_whole_without_scripts(demo: Demo, open_page: Opener, width: int) -> None:
    """Without scripts the table holds every variant and can be read, and nothing is shown that does not work."""
    page = open_page(address(demo, "product-with-photos"), width=width, scripts=False)
    expect(page.locator("#chooser")).to_be_hidden()
    for button in page.locator("[data-step]").all():
        expect(button).to_be_hidden()
    rows = page.locator("table.choices tbody tr")
    expect(rows).to_have_count(len(offers(demo, PICTURED)))
    page.locator("details:has(table.choices) > summary").click()
    for row, offer in zip(rows.all(), offers(demo, PICTURED), strict=True):
        expect(row).to_be_visible()
        words = " ".join(row.inner_text().split())
        for word in (*picked(offer, demo).values(), *wanted(offer).values()):
            assert word in words
    for picture in page.locator(".slide").all():
        expect(picture).to_be_attached()
    expect(page.locator("#enquire")).to_have_attribute("href", re.compile("^mailto:hello@withyslip.example"))


def test_table_names_its_cells_on_a_phone(demo: Demo, open_page: Opener) -> None:
    """Where the table's head is not shown, each cell carries its column's name, and it stays a table to a reader."""
    page = open_page(address(demo, "product"), width=390, height=844)
    page.locator("details:has(table.choices) > summary").click()
    row = page.locator("table.choices tbody tr").first
    names = row.locator("td").evaluate_all("cells => cells.map((cell) => cell.dataset.name)")
    heads = page.locator("table.choices thead th").all_text_contents()
    assert names == heads
    expect(page.get_by_role("table")).to_have_count(1)
    expect(page.get_by_role("row")).to_have_count(1 + page.locator("table.choices tbody tr").count())


def test_drawn_pattern_numbers_every_piece(demo: Demo, open_page: Opener) -> None:
    """The pattern on a product's page carries one number for each piece of glass, none twice."""
    page = open_page(address(demo, "product"))
    numbers = page.locator(".pattern svg text").all_text_contents()
    listing = next(one for one in demo.calculated.listings if one.slug == "seahorse")
    assert len(numbers) == len(set(numbers)) == listing.pieces
