"""A browser of this machine, started with nothing but what the tests need."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

# What it is called where a package manager puts it on PATH.
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
# Where installers put it on systems that have no PATH for programs with windows.
ELSEWHERE = (
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "C:/Program Files/Chromium/Application/chrome.exe",
    "C:/Program Files/Google/Chrome/Application/chrome.exe",
)


def executable() -> str:
    """Give the path of a Chromium.

    Raises:
        LookupError: there is none; its text says what to do.
    """
    found = next((path for name in BROWSERS if (path := shutil.which(name))), None)
    found = found or next((path for path in ELSEWHERE if Path(path).is_file()), None)
    if found is None:
        raise LookupError(f"no Chromium on PATH ({', '.join(BROWSERS)}); `python -m tests` installs one")
    return found


@contextmanager
def opened() -> Iterator[Browser]:
    """Open the browser without a window, and close it in the end. Each start has a profile of its own."""
    path = executable()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(FLAGS))
        try:
            yield browser
        finally:
            browser.close()
