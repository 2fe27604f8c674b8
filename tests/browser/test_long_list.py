"""The finder of a large studio: what is asked for comes in parts, from a host and from a folder."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from catalog_builder.offer import Listing
from catalog_builder.publish.catalogue.list_page import SHOWN
from catalog_builder.publish.catalogue.listing_view import CatalogueContent, newest_first
from tests.browser.axe_rules import violations
from tests.browser.conftest import Opener
from tests.browser.host import serving
from tests.browser.quiet_network import QuietNetwork
from tests.publish.catalogue.long_lists import few, many, write_lists

pytestmark = pytest.mark.browser
COUNT, STEP = 2 * SHOWN + 10, 24
# What the page takes on a phone, without pictures, and what a first search adds.
MOST_BYTES, MOST_ELEMENTS, MOST_REQUESTS = 200_000, 800, 40
CARDS = "#pieces .card:visible h2"


@pytest.fixture(scope="module")
def content(tmp_path_factory: pytest.TempPathFactory) -> CatalogueContent:
    """A catalogue whose lists take several pages."""
    return many(few(tmp_path_factory.mktemp("long") / "studio"), COUNT)


@pytest.fixture(scope="module")
def folder(content: CatalogueContent, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Its lists, written."""
    return write_lists(content, tmp_path_factory.mktemp("lists"))


@pytest.fixture(scope="module")
def newest(content: CatalogueContent) -> list[Listing]:
    """Its products, the newest first."""
    return list(newest_first(content.listings))


def titles(page: Page) -> list[str]:
    """Give the titles of the pieces that are shown, also of those that are laid out when they come near."""
    return page.locator(CARDS).all_text_contents()


def with_black(listings: list[Listing]) -> list[str]:
    """Give the titles of those that can be had with a black finish."""
    return [each.title for each in listings if any(offer.finish == "Black" for offer in each.offers)]


def test_choice_and_words_find_pieces_of_all_pages(folder: Path, newest: list[Listing], open_page: Opener) -> None:
    """Opened from a folder, a choice and words find pieces of every page, the newest first, a step at a time."""
    page = open_page((folder / "find.html").as_uri())
    expect(page.locator("#found")).to_have_text(f"All {COUNT} pieces")
    assert titles(page) == [each.title for each in newest[:SHOWN]]
    page.get_by_role("checkbox", name="Black").check()
    black = with_black(newest)
    expect(page.locator("#found")).to_have_text(f"{len(black)} pieces")
    assert STEP < len(black) < 2 * STEP
    expect(page.locator(CARDS)).to_have_text(black[:STEP])
    expect(page.locator("#pages")).to_be_hidden()
    # The piece leads to the variant that was asked for, and the next step brings the reader to its first piece.
    first = page.locator(f"{CARDS} a").first
    expect(first).to_have_attribute("href", re.compile(r"^products/pane-c-\d+\.html#.*black"))
    page.locator("#further").click()
    expect(page.locator(CARDS)).to_have_text(black)
    expect(page.locator(f"{CARDS} a").nth(STEP)).to_be_focused()
    expect(page.locator("#further")).to_be_hidden()
    page.locator("#words").fill("EMBÉR")
    named = [title for title in black if "Ember" in title]
    expect(page.locator(CARDS)).to_have_text(named)
    expect(page.locator("#found")).to_have_text(f"{len(named)} pieces")
    page.locator("#words").fill("zebra")
    expect(page.locator("#nothing")).to_be_visible()
    page.locator("#nothing [data-clear]").click()
    expect(page.locator(CARDS)).to_have_text([each.title for each in newest[:SHOWN]])
    expect(page.locator("#pages")).to_be_visible()


def test_titles_come_before_what_is_only_said(folder: Path, newest: list[Listing], open_page: Opener) -> None:
    """Words show the pieces that bear them as their name first: a word of the title before a part of one."""
    page = open_page((folder / "find.html").as_uri() + "?words=pane-a+1")
    named = [each.title for each in newest if "Pane-a" in each.title and "1" in each.title]
    begins = [title for title in named if re.search(" 1", title)]
    expect(page.locator(CARDS)).to_have_text([*begins, *(title for title in named if title not in begins)][:STEP])


def test_address_brings_back_the_choice(folder: Path, newest: list[Listing], open_page: Opener) -> None:
    """From a host, the address holds the choice; opened again it shows the same, and nothing else on the way."""
    with serving(folder) as host:
        page = open_page(f"{host}find.html?finish=Black&words=dune")
        expect(page.locator(CARDS)).to_have_text([title for title in with_black(newest) if "Dune" in title])
        page.get_by_role("checkbox", name="Black").uncheck()
        expect(page).to_have_url(f"{host}find.html?words=dune")
        page.go_back()
        expect(page.get_by_role("checkbox", name="Black")).to_be_checked()
        expect(page.locator(CARDS)).to_have_text([title for title in with_black(newest) if "Dune" in title])


def test_parts_are_loaded_when_they_are_asked_for(folder: Path, newest: list[Listing], open_page: Opener) -> None:
    """The page itself is light and loads no part; a word brings the words that have it and the cards that are shown."""
    with serving(folder) as host:
        page = open_page("about:blank", width=390, height=844)
        fetched = dict[str, int]()
        page.on("response", lambda answer: fetched.update({answer.url.removeprefix(host): len(answer.body())}))
        quiet_network = QuietNetwork(page)
        page.goto(f"{host}find.html", wait_until="load")
        quiet_network.wait()
        assert [name for name in fetched if name.startswith("pieces/")] == []
        assert sum(size for name, size in fetched.items() if not name.startswith("pictures/")) < MOST_BYTES
        assert page.evaluate("document.querySelectorAll('*').length") < MOST_ELEMENTS
        page.locator("#words").fill("dune")
        expect(page.locator(CARDS)).to_have_text([each.title for each in newest if "Dune" in each.title])
        names = page.evaluate("performance.getEntriesByType('resource').map((one) => one.name)")
        parts = [one.removeprefix(f"{host}pieces/").partition(".js")[0] for one in names if "/pieces/" in one]
        assert parts[:3] == ["choices", "words", "words-0"]
        assert set(parts[3:]) == {f"cards-{number // STEP}" for number in range(3, COUNT, 7)}
        assert len(names) < MOST_REQUESTS


def test_a_part_that_is_missing_is_said(content: CatalogueContent, tmp_path: Path, open_page: Opener) -> None:
    """Where parts cannot be loaded the page says so, and shows the list with its pages as before."""
    folder = write_lists(content, tmp_path, ["find.html"])
    for path in (folder / "pieces").glob("cards-*"):
        path.unlink()
    page = open_page((folder / "find.html").as_uri())
    page.locator("#words").fill("dune")
    expect(page.locator("#found")).to_have_text(re.compile("could not be loaded"))
    expect(page.locator(CARDS)).to_have_count(SHOWN)
    expect(page.locator("#pages")).to_be_visible()


def test_pages_lead_to_every_piece_without_scripts(folder: Path, newest: list[Listing], open_page: Opener) -> None:
    """Without scripts the links to the next page lead through all pieces, the newest first."""
    page = open_page((folder / "find.html").as_uri(), scripts=False)
    expect(page.locator("#finder")).to_be_hidden()
    expect(page.locator("#further")).to_be_hidden()
    seen = titles(page)
    following = page.locator("#pages a[rel=next]")
    while following.count():
        name = following.get_attribute("href")
        following.click()
        page.wait_for_url(f"**/{name}")
        seen += titles(page)
    assert seen == [each.title for each in newest]


@pytest.mark.parametrize("name", ["find.html", "find--2.html", "series/panes--2.html"])
def test_axe_finds_nothing(folder: Path, open_page: Opener, name: str) -> None:
    """No rule of axe is broken on the pages of a list, nor where a search has brought pieces; nothing is cut off."""
    page = open_page((folder / name).as_uri(), width=390, height=844)
    assert violations(page) == []
    assert page.evaluate("document.scrollingElement.scrollWidth <= document.documentElement.clientWidth")
    if name == "find.html":
        page.locator("#words").fill("dune")
        expect(page.locator(CARDS).first).to_contain_text("Dune")
        assert violations(page) == []
