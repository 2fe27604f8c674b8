"""What a visitor's browser must fetch before a page stands, and what it fetches from elsewhere: nothing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.conftest import Opener
from tests.browser.kinds import KINDS
from tests.browser.quiet_network import QuietNetwork
from tests.browser.scores import PAGES
from tests.publish.demo import Demo

pytestmark = pytest.mark.browser
# What the home page may weigh before its photos, in bytes as they lie in the folder, without any compression.
LIGHT = 150_000
# What a page may take on a phone, photos and all. Bytes are as they lie in the folder, without any compression.
MOST_BYTES = 400_000
MOST_BYTES_OF_TEXT = 80_000
MOST_REQUESTS = 25
MOST_ELEMENTS = 800  # from there on Lighthouse 12 warns ("dom-size")
PHOTO = (".jpg", ".webp")
BLOCKING = """() => performance.getEntriesByType("resource")
  .filter((one) => one.renderBlockingStatus === "blocking").map((one) => one.name)"""


class LongPhone:
    """A page as a phone with a long screen shows it, which hears what is fetched for it."""

    def __init__(self, page: Page) -> None:
        self._page = page
        self._sizes: dict[str, int] = {}
        page.on("response", lambda answer: self._sizes.update({answer.url: len(answer.body())}))
        self._quiet = QuietNetwork(page)

    def fetched(self, address: str) -> dict[str, int]:
        """Open a page, go down to its end, and give all that was fetched with its size."""
        self._page.goto("about:blank")
        self._sizes.clear()
        self._page.goto(address, wait_until="load")
        self._quiet.wait()
        self._page.evaluate("window.scrollTo(0, document.body.scrollHeight)")
        self._quiet.wait()
        return dict(self._sizes)


@contextmanager
def long_phone(browser: Browser) -> Iterator[LongPhone]:
    """Open a page of a phone, in a profile of its own."""
    context = browser.new_context(viewport={"width": 390, "height": 844})
    yield LongPhone(context.new_page())
    context.close()


@pytest.fixture
def phone(browser: Browser) -> Iterator[LongPhone]:
    """A page that has shown nothing before, so that all that it needs is fetched."""
    with long_phone(browser) as fresh:
        yield fresh


@pytest.fixture(scope="module")
def used_phone(browser: Browser) -> Iterator[LongPhone]:
    """A page for all the tests that ask where things are fetched from, not how much of them."""
    with long_phone(browser) as used:
        yield used


def test_home_page_is_light(phone: LongPhone, host: str) -> None:
    """The home page fetches its text, styles, scripts, letters, icons and drawings in under 150 kB, photos aside."""
    found = phone.fetched(host + KINDS["home"])
    plain = {url: size for url, size in found.items() if not url.endswith(PHOTO)}
    assert any(url.endswith(".woff2") for url in plain)
    assert sum(plain.values()) < LIGHT, sorted(plain.items(), key=lambda one: -one[1])


@pytest.mark.parametrize("kind", PAGES)
def test_page_keeps_to_its_budget(phone: LongPhone, open_page: Opener, host: str, kind: str) -> None:
    """A page's text, elements, requests and bytes stay few, and only styles of its host hold up its painting."""
    address = host + KINDS[kind]
    found = phone.fetched(host + KINDS[kind])
    page = open_page(address, width=390, height=844)
    assert page.locator("*").count() <= MOST_ELEMENTS
    assert found[address] <= MOST_BYTES_OF_TEXT
    assert len(found) <= MOST_REQUESTS, sorted(found)
    assert sum(found.values()) <= MOST_BYTES, sorted(found.items(), key=lambda one: -one[1])
    blocking = page.evaluate(BLOCKING)
    assert blocking
    assert [url for url in blocking if not (url.startswith(host) and urlsplit(url).path.endswith(".css"))] == []


@pytest.mark.parametrize("kind", ["home", "find", "product-with-photos"])
def test_nothing_is_fetched_from_elsewhere(used_phone: LongPhone, host: str, kind: str) -> None:
    """No page asks another host for anything, and all that it asks for is there."""
    found = used_phone.fetched(host + KINDS[kind])
    assert len(found) > 3
    assert [url for url in found if not url.startswith(host)] == []


def test_only_styles_of_its_own_hold_a_page_up(demo: Demo, open_page: Opener, host: str) -> None:
    """Before a page is painted, its browser waits for the theme's own small styles and scripts alone."""
    for kind in ("home", "find", "product"):
        page = open_page(host + KINDS[kind])
        blocking = page.evaluate(BLOCKING)
        assert blocking
        for url in blocking:
            file = demo.output / Path(urlsplit(url).path.lstrip("/"))
            assert url.startswith(host)
            assert file.stat().st_size < 20_000, url
