"""A browser to look at the demo with, started once."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.chromium import executable, opened
from tests.browser.host import serving
from tests.publish.demo import Demo

# How long to wait for what is sure to come: a busy machine is given time, and a quick one does not wait for it.
PATIENCE_MS = 120_000
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


@pytest.fixture
def open_page(browser: Browser) -> Iterator[Opener]:
    """Opens an address in a fresh profile; all that was opened is closed after the test."""
    contexts = []

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
        context = browser.new_context(
            viewport={"width": width // zoom, "height": height // zoom},
            device_scale_factor=zoom,
            color_scheme="dark" if scheme == "dark" else "light",
            reduced_motion="no-preference" if moving else "reduce",
            java_script_enabled=scripts,
        )
        context.set_default_timeout(PATIENCE_MS)
        contexts.append(context)
        page = context.new_page()
        page.goto(address)
        return page

    yield opener
    for context in contexts:
        context.close()
