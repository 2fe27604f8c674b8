"""Every page can be used by those who see little, or nothing, or who use no mouse."""

from __future__ import annotations

from pathlib import Path
from typing import Literal
from urllib.parse import urlsplit
from urllib.request import url2pathname

import pytest
from playwright.sync_api import expect

from tests.browser.axe_rules import LookedAt
from tests.browser.conftest import Opener
from tests.browser.kinds import CATALOGUE, KINDS, address, kind_of
from tests.publish.demo import Demo

pytestmark = pytest.mark.browser

# Tells what has the focus. Its mark may be around itself, around the whole card or pane that it opens,
# or around the words of a choice.
STOP = """() => {
  const one = document.activeElement;
  if (!one || one === document.body) return null;
  const shown = one.matches(".options input") ? one.parentElement.querySelector("span") : one;
  const marks = [[shown, null], [shown, "::after"], [shown.closest(".card") ?? shown, null]]
    .map(([part, pseudo]) => getComputedStyle(part, pseudo));
  const box = shown.getBoundingClientRect();
  return {
    what: one.outerHTML.slice(0, 90),
    marked: marks.some((style) => style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2),
    seen: box.width > 0 && box.height > 0,
  };
}"""


# By day and by night, on a phone and on a desk; the last puts the system's own few colours in place of a page's.
LOOKS: tuple[tuple[int, Literal["light", "dark"], Literal["none", "active"]], ...] = (
    (390, "light", "none"),
    (1280, "light", "none"),
    (1280, "dark", "none"),
    (390, "dark", "none"),
    (390, "light", "active"),
)


@pytest.mark.parametrize("kind", KINDS)
def test_axe_finds_nothing(demo: Demo, open_page: Opener, kind: str) -> None:
    """No rule of axe is broken on any kind of page, on a phone or on a desk, by day, by night or in forced colours.

    A page is opened once and looked at in each way: opening it and reading the rules takes longer than a look.
    """
    page = open_page(address(demo, kind))
    looked_at = LookedAt(page)
    for width, scheme, forced in LOOKS:
        page.set_viewport_size({"width": width, "height": 900})
        page.emulate_media(color_scheme=scheme, forced_colors=forced)
        assert page.evaluate("matchMedia('(prefers-color-scheme: dark)').matches") == (scheme == "dark")
        assert page.evaluate("matchMedia('(forced-colors: active)').matches") == (forced == "active")
        assert looked_at.violations() == [], (width, scheme, forced)


@pytest.mark.parametrize("kind", KINDS)
def test_every_page_has_an_icon(demo: Demo, open_page: Opener, kind: str) -> None:
    """Each page, the bench's and the stall's too, names an icon that is there for its tab."""
    icons = open_page(address(demo, kind)).locator('link[rel="icon"]')
    assert icons.count() > 0
    for icon in icons.all():
        reference = str(icon.evaluate("one => one.href"))
        assert reference.startswith("data:image/") or not reference.startswith("file:") or is_file(reference)


def is_file(reference: str) -> bool:
    """Say whether a file: address is that of a file."""
    return Path(url2pathname(urlsplit(reference).path)).is_file()


def test_no_kind_of_page_is_left_out(demo: Demo) -> None:
    """Of every kind of page that a build makes, one at least is looked at by all these tests."""
    looked_at = {kind_of(path) for path in KINDS.values()}
    built = {path.relative_to(demo.output).as_posix() for path in demo.output.rglob("*.html")}
    assert sorted(path for path in built if kind_of(path) not in looked_at) == []
    assert set(KINDS.values()) <= built


def test_dark_and_light_differ(demo: Demo, open_page: Opener) -> None:
    """By night the wall is dark and the ink is light; by day the other way round."""
    tones = {}
    for scheme in ("light", "dark"):
        page = open_page(address(demo, "home"), scheme=scheme)
        colours = page.evaluate(
            """() => [getComputedStyle(document.documentElement), getComputedStyle(document.body)]
              .flatMap((style) => [style.backgroundColor, style.color])"""
        )
        paints = [[float(part) for part in colour[colour.index("(") + 1 : -1].split(",")] for colour in colours]
        walls = [sum(paint[:3]) for paint in (paints[0], paints[2]) if len(paint) == 3 or paint[3] > 0]
        tones[scheme] = (walls[0], sum(paints[3][:3]))
    assert tones["light"][0] > tones["light"][1]
    assert tones["dark"][0] < tones["dark"][1]


@pytest.mark.parametrize("kind", CATALOGUE)
def test_first_tab_stop_skips_to_the_main_part(demo: Demo, open_page: Opener, kind: str) -> None:
    """The first stop of the tab key is a link in view that leads past the navigation."""
    page = open_page(address(demo, kind))
    page.keyboard.press("Tab")
    skip = page.locator("a.skip")
    expect(skip).to_be_focused()
    expect(skip).to_be_in_viewport()
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_be_focused()
    page.keyboard.press("Tab")
    assert page.evaluate("() => document.activeElement.closest('main, footer') !== null")


@pytest.mark.parametrize("kind", CATALOGUE)
def test_every_stop_of_the_tab_key_shows_where_it_is(demo: Demo, open_page: Opener, kind: str) -> None:
    """Whatever the tab key stops at is seen and is marked by an outline."""
    page = open_page(address(demo, kind))
    stops = 0
    for _ in range(120):
        page.keyboard.press("Tab")
        stop = page.evaluate(STOP)
        if stop is None:
            break
        assert stop["marked"], stop["what"]
        assert stop["seen"], stop["what"]
        stops += 1
    assert 8 < stops < 120


def test_page_says_its_language_and_has_landmarks(demo: Demo, open_page: Opener) -> None:
    """A page says that it is in English, and has one header, one main part, one footer and named navigation."""
    page = open_page(address(demo, "product"))
    assert page.locator("html").get_attribute("lang") == "en-GB"
    for role in ("banner", "main", "contentinfo"):
        expect(page.get_by_role(role)).to_have_count(1)
    names = [one.get_attribute("aria-label") for one in page.get_by_role("navigation").all()]
    assert len(names) == len({name for name in names if name}) == 2
