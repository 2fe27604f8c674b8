"""Profiles of a browser: what a reader's screen is like, and what the browser keeps of what was looked at."""

from __future__ import annotations

from dataclasses import dataclass
from types import TracebackType

from playwright.sync_api import Browser, BrowserContext, Page

# How long to wait for what is sure to come: a busy machine is given time, and a quick one does not wait for it.
PATIENCE_MS = 120_000


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
    """Opens pages in profiles: one for each screen, kept until the end, and fresh ones, kept until the next tidying."""

    def __init__(self, browser: Browser) -> None:
        self._browser = browser
        self._kept: dict[Screen, BrowserContext] = {}
        self._fresh: list[BrowserContext] = []

    def __enter__(self) -> Profiles:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.tidy()
        for profile in self._kept.values():
            profile.close()

    def page(self, screen: Screen, *, fresh: bool) -> Page:
        """Open an empty page, in the profile that is kept for the screen or in a fresh one."""
        if fresh:
            profile = self._open(screen)
            self._fresh.append(profile)
        else:
            profile = self._kept.get(screen) or self._kept.setdefault(screen, self._open(screen))
        return profile.new_page()

    def tidy(self) -> None:
        """Close every page, and the fresh profiles."""
        for profile in self._fresh:
            profile.close()
        self._fresh.clear()
        for profile in self._kept.values():
            for page in profile.pages:
                page.close()

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
