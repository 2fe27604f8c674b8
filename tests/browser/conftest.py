"""A browser to look at the demo with, started once."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.chromium import executable, opened
from tests.browser.host import serving
from tests.browser.profiles import PATIENCE_MS, Profiles, Screen, open_anew
from tests.publish.demo import Demo

# Opens a page of a size, enlarged or not, in a colour scheme, with scripts and motion or without.
Opener = Callable[..., Page]


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """A Chromium; where there is none, every test that needs it fails and says so."""
    try:
        executable()
    except LookupError as fault:
        pytest.fail(f"The browser tests need a browser: {fault}", pytrace=False)
    expect.set_options(timeout=PATIENCE_MS)
    with opened() as found:
        yield found


@pytest.fixture(scope="session")
def host(demo: Demo) -> Iterator[str]:
    """A host on this machine that serves the three folders."""
    with serving(demo.output) as address:
        yield address


@pytest.fixture(scope="session")
def profiles(browser: Browser) -> Iterator[Profiles]:
    """Profiles of the browser, each for a screen of its own; a new one takes longer than most pages."""
    with Profiles(browser) as opened_profiles:
        yield opened_profiles


@pytest.fixture
def open_page(profiles: Profiles) -> Iterator[Opener]:
    """Opens an address in a fresh page; all that was opened is closed after the test.

    Pages from a folder keep nothing in a profile, neither cookies nor a cache: those for one screen share one. Any
    other address gets a fresh profile.
    """

    def opener(  # noqa: PLR0913 - each is a side of the reader's own screen
        address: str,
        width: int = 1280,
        height: int = 900,
        scheme: str = "light",
        *,
        scripts: bool = True,
        moving: bool = False,
        zoom: int = 1,
    ) -> Page:
        screen = Screen(width // zoom, height // zoom, zoom, scheme, moving, scripts)
        page = profiles.page(screen, fresh=not address.startswith("file:"))
        open_anew(page, address)
        return page

    yield opener
    profiles.tidy()
