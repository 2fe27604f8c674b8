"""Pages can be read enlarged, in a narrow window, by the keyboard alone, and without anything moving."""

from __future__ import annotations

from itertools import pairwise

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Opener
from tests.browser.kinds import CATALOGUE, KINDS, address
from tests.browser.test_opening import BEYOND
from tests.publish.demo import Demo

pytestmark = pytest.mark.browser

# Tells which words reach out of a box that cuts off what is beyond it. Words for readers of the page alone stand in
# a box of one pixel; a box that scrolls cuts nothing off.
CUT_OFF = """() => {
  const cut = [], range = document.createRange();
  const words = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (words.nextNode()) {
    if (!words.currentNode.data.trim()) continue;
    range.selectNodeContents(words.currentNode);
    const box = range.getBoundingClientRect();
    for (let one = words.currentNode.parentElement; one && one !== document.body; one = one.parentElement) {
      const edge = one.getBoundingClientRect(), style = getComputedStyle(one);
      if (edge.width <= 1.5 || /auto|scroll/.test(style.overflowX)) break;
      if (style.overflowX !== "visible" && (box.right > edge.right + 1 || box.left < edge.left - 1)) {
        cut.push(`${one.tagName}.${one.className}: ${words.currentNode.data.trim().slice(0, 40)}`);
      }
    }
  }
  return cut;
}"""
# Tells what moves, or would move when it changes.
MOVING = """() => {
  const parts = [...document.querySelectorAll("*")].flatMap((one) => [null, "::before", "::after"].map(
    (pseudo) => [one, pseudo, getComputedStyle(one, pseudo)]));
  const named = parts
    .filter(([, , style]) => style.animationName !== "none" || style.scrollBehavior === "smooth"
      || style.transitionDuration.split(",").some((time) => parseFloat(time) > 0))
    .map(([one, pseudo]) => `${one.tagName}.${one.className}${pseudo ?? ""}`);
  return named.concat(document.getAnimations().map((one) => `running: ${one.animationName ?? one.constructor.name}`));
}"""
FOCUSED = "() => document.activeElement === document.body ? '' : document.activeElement.outerHTML"


@pytest.mark.parametrize("kind", KINDS)
def test_page_fits_when_it_is_enlarged(demo: Demo, open_page: Opener, kind: str) -> None:
    """At twice its size on a desk, whole or its letters alone, a page needs no sideways scroll (WCAG 1.4.4, 1.4.10)."""
    assert open_page(address(demo, kind), zoom=2).evaluate(BEYOND) == []
    page = open_page(address(demo, kind))
    page.add_style_tag(content="html { font-size: 200% !important; }")
    assert page.evaluate(BEYOND) == []
    assert page.evaluate(CUT_OFF) == []


def test_words_that_are_cut_off_are_seen(open_page: Opener) -> None:
    """The check for words that are cut off does find some."""
    page = open_page("about:blank", width=320)
    page.set_content("<p style='overflow: hidden; width: 3em; white-space: nowrap'>a long line of words</p>")
    assert len(page.evaluate(CUT_OFF)) == 1


@pytest.mark.parametrize("kind", KINDS)
def test_page_bears_wider_spacing(demo: Demo, open_page: Opener, kind: str) -> None:
    """With lines, words and letters set as wide as WCAG 1.4.12 asks, no words are cut off; a drawing is a picture."""
    page = open_page(address(demo, kind), width=390, height=844)
    page.add_style_tag(
        content=":not(svg *) { line-height: 1.5 !important; letter-spacing: 0.12em !important;"
        " word-spacing: 0.16em !important; } svg { letter-spacing: 0 !important; word-spacing: 0 !important; }"
    )
    assert page.evaluate(BEYOND) == []
    assert page.evaluate(CUT_OFF) == []


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_moves_for_those_who_ask_for_calm(demo: Demo, open_page: Opener, kind: str) -> None:
    """For a reader who asks for less motion, nothing on a page moves, slides or fades, nor would when it changes."""
    assert open_page(address(demo, kind)).evaluate(MOVING) == []


def test_something_moves_for_others(demo: Demo, open_page: Opener) -> None:
    """The check for motion does see what moves on the front page for all other readers."""
    assert len(open_page(address(demo, "home"), moving=True).evaluate(MOVING)) > 2


def tab_to(page: Page, selector: str, most: int = 120) -> None:
    """Press the tab key from where the page is until it stops at a part."""
    for _ in range(most):
        page.keyboard.press("Tab")
        if page.evaluate("one => document.activeElement.matches(one)", selector):
            return
    pytest.fail(f"the tab key does not come to {selector}; it is at {page.evaluate(FOCUSED)[:90]}")


@pytest.mark.parametrize("width", [390, 1280])
def test_menu_leads_everywhere_by_the_keyboard(demo: Demo, open_page: Opener, width: int) -> None:
    """By Tab and Enter alone a visitor opens every page of the menu, which then says where one is."""
    page = open_page(address(demo, "home"), width=width)
    folded = width < 900
    names = page.locator(".top nav a").all_text_contents()
    assert len(names) >= 8
    for index, name in enumerate(names):
        if folded:
            tab_to(page, ".menu-button")
            page.keyboard.press("Enter")
        tab_to(page, f".top nav li:nth-child({index + 1}) a")
        page.keyboard.press("Enter")
        page.wait_for_load_state()
        expect(page.locator(".top nav a[aria-current=page]")).to_have_text(name)
        expect(page.locator("h1")).to_be_visible()


def test_gallery_is_reached_by_the_keyboard(demo: Demo, open_page: Opener) -> None:
    """From the top of a product's page, Tab comes to the pictures, the steps and the small pictures in that order."""
    page = open_page(address(demo, "product-with-photos"))
    tab_to(page, ".gallery-track")
    tab_to(page, ".thumbs li:nth-child(3) a")
    page.keyboard.press("Enter")
    expect(page.locator("#picture-3")).to_be_in_viewport(ratio=0.5)
    tab_to(page, '[data-step="next"]')
    page.keyboard.press("Enter")
    expect(page.locator("#picture-4")).to_be_in_viewport(ratio=0.5)
    tab_to(page, 'input[name="size"]')
    tab_to(page, "#enquire")


def test_table_stays_a_table_to_a_screen_reader(demo: Demo, open_page: Opener) -> None:
    """On a phone, where rows are laid out as slips, the browser still tells a reader of a table, its rows and cells."""
    page = open_page(address(demo, "product"), width=390, height=844)
    page.locator("details:has(table.choices) > summary").click()
    tree = page.context.new_cdp_session(page).send("Accessibility.getFullAXTree")
    roles = [node["role"]["value"] for node in tree["nodes"] if not node["ignored"]]
    rows = page.locator("table.choices tbody tr").count()
    columns = page.locator("table.choices thead th").count()
    assert rows > 1
    assert (roles.count("table"), roles.count("row")) == (1, rows + 1)
    assert (roles.count("columnheader"), roles.count("cell")) == (columns, rows * columns)


@pytest.mark.parametrize("kind", CATALOGUE)
def test_headings_go_down_step_by_step(demo: Demo, open_page: Opener, kind: str) -> None:
    """A page's headings begin at the first rank and never leave one out on the way down."""
    levels = (
        open_page(address(demo, kind)).locator("h1, h2, h3, h4").evaluate_all("all => all.map(one => +one.tagName[1])")
    )
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
