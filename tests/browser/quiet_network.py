"""Waits until a page asks for nothing more: until all that it asked for has come, and it has been seen twice since."""

from __future__ import annotations

import time

from playwright.sync_api import Page, Request

from tests.browser.profiles import PATIENCE_MS

# What is shown asks for letters and pictures within a few frames; a page that waits longer first asks for them by
# a timer, which none of ours does.
_QUIET_MS = 120
# Two frames: whatever has come is laid out, and asks in turn for what it shows.
_FRAMES = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(null))))"


class QuietNetwork:
    """Hears what a page asks for and what comes, from when it is made."""

    def __init__(self, page: Page) -> None:
        self._page = page
        self._waiting = set[Request]()
        page.on("request", self._asked)
        page.on("requestfinished", self._came)
        page.on("requestfailed", self._came)

    def _asked(self, request: Request) -> None:
        self._waiting.add(request)

    def _came(self, request: Request) -> None:
        self._waiting.discard(request)

    def wait(self) -> None:
        """Wait until nothing is on its way, and nothing was asked for in a moment.

        Raises:
            TimeoutError: it goes on asking.
        """
        end = time.monotonic() + PATIENCE_MS / 1000
        while time.monotonic() < end:
            asked = set(self._waiting)
            self._page.evaluate(_FRAMES)
            self._page.wait_for_timeout(_QUIET_MS)
            if not asked and not self._waiting:
                return
        raise TimeoutError(f"{self._page.url} still waits for {sorted(one.url for one in self._waiting)}")
