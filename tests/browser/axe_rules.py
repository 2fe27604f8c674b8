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


# Gives the elements whose colours are to be judged where a layout was judged whole in other colours. Words that are
# painted alike, as is all that they lie in, are as easy to read as each other: of more than three of them the first,
# the middle and the last are enough. Not so controls, nor words that a box which is placed freely lies over or under.
ALIKE = """() => {
  const paint = ["color", "backgroundColor", "backgroundImage", "opacity", "textShadow", "fontSize", "fontWeight",
    "filter", "mixBlendMode", "position", "webkitTextStroke", "textDecorationLine", "borderBottomWidth"];
  const all = [...document.body.querySelectorAll("*")], numbers = new Map(), known = new Map([[null, 0]]);
  const look = (one) => {
    if (known.has(one)) return known.get(one);
    const style = getComputedStyle(one);
    const text = [look(one.parentElement), one.tagName, ...paint.map((name) => style[name])].join("|");
    if (!numbers.has(text)) numbers.set(text, numbers.size + 1);
    known.set(one, numbers.get(text));
    return numbers.get(text);
  };
  const placed = all.filter((one) => getComputedStyle(one).position !== "static")
    .map((one) => [one, one.getBoundingClientRect()]).filter(([, box]) => box.width && box.height);
  const free = (one) => {
    const box = one.getBoundingClientRect();
    return placed.some(([other, its]) => !other.contains(one) && !one.contains(other)
      && its.left < box.right && box.left < its.right && its.top < box.bottom && box.top < its.bottom);
  };
  const groups = new Map(), chosen = [];
  for (const one of all) {
    const words = [...one.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.data.trim());
    if (one.matches("input, select, textarea, button") || (words && free(one))) chosen.push(one);
    else if (words) groups.set(look(one), [...(groups.get(look(one)) ?? []), one]);
  }
  for (const group of groups.values())
    chosen.push(...(group.length > 3 ? [group[0], group[group.length >> 1], group.at(-1)] : group));
  return chosen;
}"""


def violations(page: Page, *, colours_of: str = "") -> list[str]:
    """Give what the axe rules find on a page, in a line each.

    Where ``colours_of`` is given, a function that gives elements, those on colours in these elements alone.
    """
    # A page that is looked at in several ways reads the rules once.
    if not page.evaluate("'axe' in window"):
        page.evaluate(Axe().axe_script)
    # What is not broken need not be described: that takes longer than to find what is.
    asked = f"{{include: ({colours_of})()}}, {{runOnly: {list(COLOUR_RULES)}, " if colours_of else "document, {"
    found = page.evaluate(f"axe.run({asked}resultTypes: ['violations']}}).then((results) => results.violations)")
    return [f"{one['id']}: {one['help']}: {node['html'][:160]}" for one in found for node in one["nodes"]]


class LookedAt:
    """A page that is looked at in one way after another, each held against every rule that may judge it otherwise."""

    def __init__(self, page: Page) -> None:
        self._page = page
        self._layouts = set[str]()

    def violations(self) -> list[str]:
        """Give what is found in the page now: by all rules, or by those on colours where no more has changed."""
        layout = self._page.evaluate(SEEN, False)
        if layout in self._layouts:
            return violations(self._page, colours_of=ALIKE)
        self._layouts.add(layout)
        return violations(self._page)
