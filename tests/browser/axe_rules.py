"""The rules of axe on a page that is looked at in several ways: all of them, or those that colours touch.

Of its rules on by default (WCAG A and AA, and best practices, axe 4) two read colours, ``COLOUR_RULES``. All others
read the tree of elements, their names and roles, and what is shown and where. Where all that is as it was when every
rule was tried, only those two can find anything that was not found then.
"""

from __future__ import annotations

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

COLOUR_RULES = ("color-contrast", "link-in-text-block")
# All that is seen of a page: elements with their attributes, which are shown, where, and the words that styles add.
# With ``painted`` also in which colours and letters.
SEEN = """(painted) => JSON.stringify([...document.querySelectorAll("*")].map((one) => {
  const box = one.getBoundingClientRect();
  const shown = ["display", "visibility", "position", "zIndex", "overflowX", "overflowY", "clipPath"];
  const paint = ["color", "opacity", "backgroundColor", "backgroundImage", "textShadow", "fontSize", "fontWeight"];
  const style = getComputedStyle(one);
  return [
    one.tagName, ...one.getAttributeNames().map((name) => [name, one.getAttribute(name)]),
    box.x, box.y, box.width, box.height, style.opacity === "0",
    ...shown.map((name) => style[name]), ...(painted ? paint.map((name) => style[name]) : []),
    ...["::before", "::after"].map((pseudo) => getComputedStyle(one, pseudo).content),
  ];
}))"""


def violations(page: Page, *rules: str) -> list[str]:
    """Give what the axe rules find on a page, in a line each: all that are on by default, or some by name."""
    # A page that is looked at in several ways reads the rules once.
    if not page.evaluate("'axe' in window"):
        page.evaluate(Axe().axe_script)
    # What is not broken need not be described: that takes longer than to find what is.
    found = page.evaluate(
        """(rules) => axe.run({resultTypes: ["violations"], ...(rules.length ? {runOnly: rules} : {})})
          .then((results) => results.violations)""",
        rules,
    )
    return [f"{one['id']}: {one['help']}: {node['html'][:160]}" for one in found for node in one["nodes"]]


class LookedAt:
    """A page that is looked at in one way after another, each held against every rule that may judge it otherwise."""

    def __init__(self, page: Page) -> None:
        self._page = page
        self._layouts = set[str]()

    def violations(self) -> list[str]:
        """Give what is found in the page now: by all rules, or by those on colours where no more has changed."""
        layout = self._page.evaluate(SEEN, False)
        rules = COLOUR_RULES if layout in self._layouts else ()
        self._layouts.add(layout)
        return violations(self._page, *rules)
