"""Pictures of every kind of page for a person to look at: ``python -m tests.browser.screenshots FOLDER``.

The demo is built in a folder that is thrown away; each page is taken on a phone and on a desk, by day and by night,
and the price sheet and a product also as they print.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Browser

from tests.browser.chromium import opened
from tests.browser.kinds import CATALOGUE, KINDS, address
from tests.publish.demo import Demo, demo_in

SIZES = {"phone": (390, 844), "desk": (1280, 900)}
PRINTED = ("price-sheet", "product-with-photos")


def main(folder: Path) -> None:
    """Take all pictures, and put them into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as place, opened() as browser:
        demo = demo_in(Path(place) / "demo")
        for kind in KINDS:
            for size in SIZES:
                for scheme in ("light", "dark") if kind in CATALOGUE else ("light",):
                    take(browser, demo, kind, (size, scheme), folder)
        for kind in PRINTED:
            page = browser.new_page()
            page.goto(address(demo, kind))
            page.pdf(path=folder / f"{kind}-printed.pdf", format="A4", prefer_css_page_size=True)
            page.close()


def take(browser: Browser, demo: Demo, kind: str, look: tuple[str, str], folder: Path) -> None:
    """Take one picture of a whole page; ``look`` is a size and a colour scheme."""
    size, scheme = look
    width, height = SIZES[size]
    context = browser.new_context(
        viewport={"width": width, "height": height}, color_scheme="dark" if scheme == "dark" else "light"
    )
    page = context.new_page()
    page.goto(address(demo, kind))
    page.evaluate(
        """async () => { for (const image of document.images) image.loading = "eager";
           await Promise.all([...document.images].map((image) => image.decode().catch(() => null)));
           await document.fonts.ready; }"""
    )
    page.screenshot(path=folder / f"{kind}-{size}-{scheme}.png", full_page=True)
    context.close()


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: python -m tests.browser.screenshots FOLDER")
    main(Path(sys.argv[1]))
