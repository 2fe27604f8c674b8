"""The theme's icon as pixels, made once by hand: ``python -m tests.browser.icons themes/daylight``.

It draws ``assets/icon.svg`` at the sizes that a tab, a phone's screen and an installed page ask for. A phone cuts a
maskable icon to a shape of its own: the drawing then stands inside the circle that is always kept.
"""

from __future__ import annotations

import sys
import tomllib
from pathlib import Path

from playwright.sync_api import Browser

from tests.browser.chromium import opened

# Name, side in px, height of the drawing as a share of the side, and whether it stands on the theme's wall.
ICONS = (
    ("icon-32", 32, 1.0, False),
    ("icon-180", 180, 0.72, True),
    ("icon-192", 192, 0.94, False),
    ("icon-512", 512, 0.94, False),
    ("icon-maskable-512", 512, 0.56, True),
)


def main(theme: Path) -> None:
    """Draw every icon into a theme's assets."""
    drawing = (theme / "assets" / "icon.svg").read_text(encoding="utf-8")
    wall = tomllib.loads((theme / "theme.toml").read_text(encoding="utf-8"))["colours"]["wall_by_day"]
    with opened() as browser:
        for name, side, share, on_wall in ICONS:
            data = draw(browser, drawing, side, share, wall if on_wall else "transparent")
            (theme / "assets" / f"{name}.png").write_bytes(data)


def draw(browser: Browser, drawing: str, side: int, share: float, ground: str) -> bytes:
    """Draw a square picture of ``side`` px with a drawing in its middle."""
    page = browser.new_page(viewport={"width": side, "height": side})
    page.set_content(
        f"<style>html {{ background: {ground} }} body {{ margin: 0; height: 100vh; display: grid; "
        f"place-items: center }} svg {{ height: {share * 100}vh; width: auto }}</style>{drawing}"
    )
    data = page.screenshot(omit_background=True)
    page.close()
    return data


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: python -m tests.browser.icons THEME")
    main(Path(sys.argv[1]))
