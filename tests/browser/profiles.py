"""Profiles of a browser: what a reader's screen is like, and what the browser keeps of what was looked at."""

from __future__ import annotations

from dataclasses import dataclass
from types import TracebackType

from playwright.sync_api import Browser, BrowserContext, Page

# How long to wait for what is sure to come: a busy machine is given time, and a quick one does not wait for it.
PATIENCE_MS = 120_000
# How many pages wait to be used again; each holds some memory.
MOST_IDLE = 6


@dataclass(frozen=True, slots=True)
class Screen:
    """A reader's screen in CSS pixels, enlarged so many times; its colour scheme, and whether things move and run."""

    width: int
    height: int
    zoom: int
    scheme: str
    moving: bool
    scripts: bool


class Profiles:
    """Opens pages in profiles: one for each screen, kept until the end, and fresh ones, kept until the next tidying.

    A page in a kept profile is used again after the tidying, for a new one takes three times as long as what it shows.
    """

    def __init__(self, browser: Browser) -> None:
        self._browser = browser
        self._kept: dict[Screen, BrowserContext] = {}
        self._fresh: list[BrowserContext] = []
        self._lent: list[tuple[Screen, Page]] = []
        self._idle: dict[Screen, Page] = {}

    def __enter__(self) -> Profiles:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.tidy()
        for profile in self._kept.values():
            profile.close()

    def page(self, screen: Screen, *, fresh: bool) -> Page:
        """Give a page to open an address in, of the profile that is kept for the screen or of a fresh one."""
        if fresh:
            profile = self._open(screen)
            self._fresh.append(profile)
            return profile.new_page()
        page = self._idle.pop(screen, None)
        if page is None:
            profile = self._kept.get(screen) or self._kept.setdefault(screen, self._open(screen))
            page = profile.new_page()
            # A page that remembers the pictures of the last one would not fetch those that a new page does.
            session = profile.new_cdp_session(page)
            session.send("Network.enable")
            session.send("Network.setCacheDisabled", {"cacheDisabled": True})
        self._lent.append((screen, page))
        return page

    def tidy(self) -> None:
        """Close the fresh profiles, and put away or close every page."""
        for profile in self._fresh:
            profile.close()
        self._fresh.clear()
        for screen, page in self._lent:
            if screen in self._idle:
                page.close()
            elif not page.is_closed():
                _rest(page, screen)
                self._idle[screen] = page
        self._lent.clear()
        while len(self._idle) > MOST_IDLE:
            self._idle.pop(next(iter(self._idle))).close()

    def _open(self, screen: Screen) -> BrowserContext:
        profile = self._browser.new_context(
            viewport={"width": screen.width, "height": screen.height},
            device_scale_factor=screen.zoom,
            color_scheme="dark" if screen.scheme == "dark" else "light",
            reduced_motion="no-preference" if screen.moving else "reduce",
            java_script_enabled=screen.scripts,
        )
        profile.set_default_timeout(PATIENCE_MS)
        return profile


def _rest(page: Page, screen: Screen) -> None:
    """Give a page back its screen, with the pointer nowhere.

    It goes on showing what it shows, for an empty page in between takes as long as half of the next one. What moves
    is not left to move.
    """
    if screen.moving:
        page.goto("about:blank")
    page.set_viewport_size({"width": screen.width, "height": screen.height})
    page.emulate_media(
        media="null",
        color_scheme="dark" if screen.scheme == "dark" else "light",
        reduced_motion="no-preference" if screen.moving else "reduce",
        forced_colors="none",
    )
    page.mouse.move(-1, -1)


def open_anew(page: Page, address: str) -> None:
    """Open an address as if the page had shown nothing: its own address again would keep its place, or not be read."""
    if page.url.partition("#")[0] == address.partition("#")[0]:
        page.goto("about:blank")
    page.goto(address)
