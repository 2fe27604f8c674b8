"""Finding a piece: each way to choose, together, by address, by the keyboard, and without scripts."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any
from urllib.parse import parse_qsl, urlsplit

import pytest
from playwright.sync_api import Page, expect

from catalog_builder.offer import Offer
from catalog_builder.publish.catalogue.listing_view import newest_first
from catalog_builder.publish.pictures.glass.colour_word import colour_word
from tests.browser.conftest import Opener
from tests.browser.kinds import address
from tests.publish.demo import Demo

pytestmark = pytest.mark.browser
FACETS = ("series", "colour", "size", "price", "finish")


def shown(page: Page) -> set[str]:
    """Give the products that the list shows; each link may lead to the variant that was looked for."""
    links = page.locator("#pieces .card:visible h2 a")
    return {str(link.get_attribute("href")).partition(".html")[0].rpartition("/")[2] for link in links.all()}


def fits(offer: Offer, series: str, wanted: dict[str, list[str]]) -> bool:
    """Say whether a variant is what is wanted, worked out here from its own measures."""
    side = round(max(offer.width_mm, offer.height_mm))
    own: dict[str, Callable[[str], bool]] = {
        "series": lambda value: value == series,
        "colour": lambda value: value in {colour_word(colour) for colour in offer.glass_colours},
        "size": lambda value: within(value, side),
        "price": lambda value: within(value, float(offer.online_price)),
        "finish": lambda value: value == offer.finish,
    }
    return all(any(own[name](value) for value in values) for name, values in wanted.items())


def within(band: str, value: float) -> bool:
    """Say whether a number is in a band as addresses call it."""
    low, high = band.split("-")
    return (not low or float(low) <= value) and (not high or value <= float(high))


def expected(demo: Demo, wanted: dict[str, list[str]]) -> set[str]:
    """Give the products of which one variant is all that is wanted."""
    return {
        one.slug for one in demo.calculated.listings if any(fits(offer, one.series, wanted) for offer in one.offers)
    }


def options(page: Page, name: str) -> list[str]:
    """Give the values of a way to choose."""
    found = page.locator(f'#finder input[name="{name}"]').evaluate_all("all => all.map((one) => one.value)")
    return [str(value) for value in found]


def tick(page: Page, name: str, value: str) -> None:
    """Tick or untick a choice as a hand does."""
    page.locator(f'#finder label:has(input[name="{name}"][value={json.dumps(value)}])').click()


def asked(page: Page) -> list[tuple[str, str]]:
    """Read what the page's address says is wanted."""
    return parse_qsl(urlsplit(page.url).query)


@pytest.mark.parametrize("name", FACETS)
def test_each_choice_leaves_what_answers_to_it(demo: Demo, open_page: Opener, name: str) -> None:
    """Whatever value of a facet is ticked, just those products stay of which a variant has it, and are counted."""
    page = open_page(address(demo, "find"))
    counts = set()
    for value in options(page, name):
        tick(page, name, value)
        wanted = expected(demo, {name: [value]})
        assert shown(page) == wanted, value
        number = len(wanted)
        if number < len(demo.calculated.listings):
            expect(page.locator("#found")).to_have_text(f"{number} piece{'s' if number > 1 else ''}")
        assert asked(page) == [(name, value)]
        counts.add(number)
        tick(page, name, value)
    expect(page.locator("#found")).to_have_text(f"All {len(demo.calculated.listings)} pieces")
    assert min(counts) < len(demo.calculated.listings)


def test_two_of_one_kind_widen_and_two_kinds_narrow(demo: Demo, open_page: Opener) -> None:
    """Two colours show what has either; a finish and a price beside them show only variants that have all at once."""
    page = open_page(address(demo, "find"))
    colours = options(page, "colour")[:2]
    wanted: dict[str, list[str]] = {"colour": colours}
    for value in colours:
        tick(page, "colour", value)
    assert shown(page) == expected(demo, wanted)
    for name in ("finish", "price", "size"):
        wanted[name] = options(page, name)[:1]
        tick(page, name, wanted[name][0])
        assert shown(page) == expected(demo, wanted)
    assert asked(page) == [(name, one) for name in FACETS for one in wanted.get(name, ())]


def test_words_find_titles_series_and_glass(demo: Demo, open_page: Opener) -> None:
    """Words find what they stand in, in capitals or not, with accents or not, and all of them are wanted."""
    page = open_page(address(demo, "find"))
    for words, slug in (
        ("LÁNTERN", "quay-lantern"),
        ("moon hills", "moon-over-the-hills"),
        ("turquoise seahorse", "seahorse"),
    ):
        page.locator("#words").fill(words)
        only = page.locator("#pieces .card:visible h2 a")
        expect(only).to_have_count(1)
        expect(only).to_have_attribute("href", f"products/{slug}.html")
    page.locator("#words").fill("moon seahorse lantern")
    expect(page.locator("#nothing")).to_be_visible()


def test_address_brings_the_choice_back(demo: Demo, open_page: Opener) -> None:
    """An address that somebody passes on opens with the same choice, ticked, counted and shown."""
    page = open_page(address(demo, "find") + "?words=e&colour=blue&colour=red&finish=Black+patina")
    wanted = expected(demo, {"colour": ["blue", "red"], "finish": ["Black patina"]})
    assert shown(page) == wanted
    assert 0 < len(wanted) < len(demo.calculated.listings)
    ticked = page.locator("#finder input:checked").evaluate_all("all => all.map((one) => one.value)")
    assert ticked == ["red", "blue", "Black patina"]
    expect(page.locator("#words")).to_have_value("e")


def test_unknown_address_shows_everything(demo: Demo, open_page: Opener) -> None:
    """An address from another time, with choices that are no longer there, shows every piece."""
    page = open_page(address(demo, "find") + "?colour=mauve&price=1-2&nothing=at-all")
    assert len(shown(page)) == len(demo.calculated.listings)


@pytest.mark.parametrize("way", ["folder", "host"])
def test_back_undoes_a_choice(demo: Demo, open_page: Opener, host: str, way: str) -> None:
    """The browser's way back takes the last choice back, and its way forward brings it again."""
    page = open_page(address(demo, "find") if way == "folder" else f"{host}catalogue/find.html")
    tick(page, "colour", "blue")
    first = shown(page)
    tick(page, "series", "quay")
    second = shown(page)
    assert second < first
    page.go_back()
    assert shown(page) == first
    expect(page.locator('#finder input[value="quay"]')).not_to_be_checked()
    page.go_forward()
    assert shown(page) == second
    page.go_back()
    page.go_back()
    assert len(shown(page)) == len(demo.calculated.listings)


def test_way_back_from_a_product_keeps_the_choice(demo: Demo, open_page: Opener) -> None:
    """Who opens a product and goes back finds the list as it was left."""
    page = open_page(address(demo, "find"))
    tick(page, "colour", "purple")
    before = shown(page)
    page.locator("#pieces .card:visible h2 a").first.click()
    page.wait_for_url(re.compile("/products/"))
    page.go_back()
    page.wait_for_url(re.compile("find.html"))
    expect(page.locator('#finder input[value="purple"]')).to_be_checked()
    assert shown(page) == before


def test_nothing_found_says_so_and_leads_back(demo: Demo, open_page: Opener) -> None:
    """Where nothing answers, the page says so in place of the list, and one press shows everything again."""
    page = open_page(address(demo, "find") + "?words=zebra&colour=red")
    expect(page.locator("#nothing")).to_be_visible()
    expect(page.locator("#pieces")).to_be_hidden()
    expect(page.locator("#found")).to_have_text("No piece")
    page.locator("#nothing [data-clear]").click()
    expect(page.locator("#nothing")).to_be_hidden()
    assert len(shown(page)) == len(demo.calculated.listings)
    assert asked(page) == []
    expect(page.locator("#found")).to_be_focused()


def test_choice_is_made_by_the_keyboard(demo: Demo, open_page: Opener) -> None:
    """Tab reaches words, choices and the way back in the order in which they stand; the space bar ticks."""
    page = open_page(address(demo, "find"))
    page.locator("#words").focus()
    page.keyboard.type("moon")
    expect(page.locator("#found")).to_have_text(re.compile(r"^\d+ pieces?$"))
    page.keyboard.press("Tab")
    first = page.locator("#finder input[type=checkbox]").first
    expect(first).to_be_focused()
    page.keyboard.press("Space")
    expect(first).to_be_checked()
    for _ in range(page.locator("#finder input[type=checkbox]").count()):
        page.keyboard.press("Tab")
    expect(page.locator("#finder [data-clear]")).to_be_focused()
    page.keyboard.press("Enter")
    assert len(shown(page)) == len(demo.calculated.listings)


def test_count_is_announced_politely(demo: Demo, open_page: Opener) -> None:
    """The count is a status, which readers of the page hear without being interrupted."""
    page = open_page(address(demo, "find"))
    expect(page.get_by_role("status")).to_have_count(1)
    expect(page.get_by_role("search")).to_have_accessible_name("Find a piece")
    expect(page.get_by_role("group", name="Colour of glass").get_by_role("checkbox", name="Blue")).to_have_count(1)


def test_choice_that_would_leave_nothing_is_faint(demo: Demo, open_page: Opener) -> None:
    """What cannot be had together with the other choices is shown as faint, and just that."""
    page = open_page(address(demo, "find"))
    tick(page, "series", "sky")
    for name in ("colour", "size", "price", "finish"):
        for value in options(page, name):
            label = page.locator(f'#finder label:has(input[name="{name}"][value={json.dumps(value)}])')
            faint = "is-not-made" in str(label.get_attribute("class"))
            assert faint == (not expected(demo, {"series": ["sky"], name: [value]})), value


def test_list_is_whole_without_scripts(demo: Demo, open_page: Opener) -> None:
    """Without scripts every piece is there with its link, and no form that would not work."""
    page = open_page(address(demo, "find"), scripts=False)
    assert shown(page) == {one.slug for one in demo.calculated.listings}
    expect(page.locator("#finder")).to_be_hidden()
    expect(page.locator("#nothing")).to_be_hidden()
    expect(page.locator("[data-clear]").first).to_be_hidden()


def test_no_card_is_seen_that_the_address_leaves_out(demo: Demo, open_page: Opener, host: str) -> None:
    """While a page with a choice in its address loads, no card is painted that will not stay, and nothing moves."""
    # The first look brings the letters, which move words when they come; the second one is watched.
    page = open_page(f"{host}catalogue/find.html")
    page.evaluate("() => document.fonts.ready.then(() => true)")
    page.add_init_script(
        """window.flashed = []; window.moved = [];
        new PerformanceObserver((list) => {
          for (const one of list.getEntries())
            window.moved.push([one.value, ...one.sources.map((source) => source.node?.nodeName)]);
        }).observe({ type: "layout-shift", buffered: true });
        const watch = () => {
          const list = document.getElementById("pieces");
          if (list && getComputedStyle(list).visibility === "visible")
            window.flashed.push([...list.children].filter((one) => one.getClientRects().length).length);
          requestAnimationFrame(watch);
        };
        requestAnimationFrame(watch);"""
    )
    page.goto(f"{host}catalogue/find.html?series=quay")
    page.wait_for_function("window.flashed.length > 3")
    seen: Any = page.evaluate("[...new Set(window.flashed)]")
    assert seen == [len(expected(demo, {"series": ["quay"]}))]
    moved: Any = page.evaluate("window.moved")
    assert sum(one[0] for one in moved) < 0.1, moved


def test_phone_keeps_its_filters_in_a_drawer(demo: Demo, open_page: Opener) -> None:
    """On a phone the filters wait behind one button; their drawer counts what they leave, and closes by hand or key."""
    page = open_page(address(demo, "find"), width=320, height=640)
    more, drawer = page.locator(".finder-more"), page.locator("#facets")
    expect(drawer).to_be_hidden()
    more.click()
    expect(drawer).to_be_visible()
    tick(page, "colour", "blue")
    expect(more).to_have_attribute("data-count", "1")
    expect(page.locator("[data-found]")).to_have_text(page.locator("#found").inner_text())
    assert page.evaluate("document.scrollingElement.scrollWidth <= document.documentElement.clientWidth")
    page.locator(".drawer-foot .button").click()
    expect(drawer).to_be_hidden()
    more.click()
    page.keyboard.press("Escape")
    expect(drawer).to_be_hidden()
    expect(more).to_be_focused()
    assert shown(page) == expected(demo, {"colour": ["blue"]})


def test_ready_to_send_is_a_filter(demo: Demo, open_page: Opener) -> None:
    """Who wants a piece now ticks one choice, and finds those products of which a variant lies ready."""
    page = open_page(address(demo, "find"), width=390, height=844)
    page.locator(".finder-more").click()
    page.get_by_role("checkbox", name="Ready to send").check()
    ready = {
        one.slug for one in demo.calculated.listings if any(offer.availability == "in stock" for offer in one.offers)
    }
    assert shown(page) == ready
    assert 0 < len(ready) < len(demo.calculated.listings)


def test_titles_come_before_what_is_only_said(demo: Demo, open_page: Opener) -> None:
    """Words show the piece that bears them as its name first, and then those with a glass of that name."""
    page = open_page(address(demo, "find"))
    page.locator("#words").fill("moon")
    expect(page.locator("#pieces .card:visible h2").first).to_have_text("Moon over the hills")
    titles = page.locator("#pieces .card:visible h2").all_inner_texts()
    named = ["moon" in title.lower() for title in titles]
    assert named == sorted(named, reverse=True)
    assert False in named
    page.locator("#words").fill("")
    newest = [card.title for card in newest_first(demo.calculated.listings)]
    expect(page.locator("#pieces .card:visible h2")).to_have_text(newest)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_first_screen_of_a_phone_shows_count_and_piece(demo: Demo, open_page: Opener, scheme: str) -> None:
    """On a phone of 390 by 844 the navigation is one line; count and first piece, with its price, need no scroll."""
    page = open_page(address(demo, "find"), width=390, height=844, scheme=scheme)
    assert page.locator("header.top").evaluate("one => one.getBoundingClientRect().height") < 90
    for part in ("#found", "#pieces .card:first-child h2", "#pieces .card:first-child .card-price"):
        expect(page.locator(part)).to_be_in_viewport(ratio=1)
