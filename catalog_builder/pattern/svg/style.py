"""What decides whether a shape is drawn: attributes, the element's own style, and plain rules of a style sheet."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from lxml import etree

from catalog_builder.pattern.svg.tree import SVG

NAMES = ("display", "visibility", "fill-rule")
# Of all style sheets together, and of the classes of one element.
MOST_CHARACTERS = 50_000
MOST_CLASSES = 50
_SELECTOR = re.compile(r"[.#]?[A-Za-z_][\w-]*|\*")

# By selector and name: the position of the last rule that gives a value, and the value.
Rules = Mapping[str, Mapping[str, tuple[int, str]]]


def read_rules(root: etree._Element) -> Rules:
    """Read the rules of every ``<style>`` whose selector is one class, one id, or one element's name."""
    rules: dict[str, dict[str, tuple[int, str]]] = {}
    characters_left = MOST_CHARACTERS
    count = 0
    for element in root.iter(SVG + "style"):
        sheet = "".join(str(part) for part in element.itertext())[:characters_left]
        characters_left -= len(sheet)
        for selector, pairs in _rules(re.sub(r"/\*.*?\*/", "", sheet, flags=re.DOTALL)):
            count += 1
            rules.setdefault(selector, {}).update({name: (count, value) for name, value in pairs.items()})
    return rules


def _rules(sheet: str) -> Iterator[tuple[str, Mapping[str, str]]]:
    for block in sheet.split("}")[:-1]:
        before, _, body = block.rpartition("{")
        for selector in before.rpartition("{")[2].split(","):
            if _SELECTOR.fullmatch(selector.strip()):
                yield selector.strip(), declarations(body)


def declarations(text: str) -> dict[str, str]:
    """Read ``name: value`` pairs between semicolons, of the names that decide whether a shape is drawn."""
    pairs = {}
    for part in text.split(";"):
        name, _, value = part.partition(":")
        if name.strip() in NAMES and value.strip():
            pairs[name.strip()] = value.replace("!important", "").strip()
    return pairs


def style_of(element: etree._Element, rules: Rules) -> dict[str, str]:
    """Give the style of an element: a rule overrides an attribute, its own style overrides a rule (CSS 2, 6.4)."""
    style = {name: str(element.get(name)).strip() for name in NAMES if element.get(name)}
    # An id goes before a class, a class before an element's name; of two alike, the later rule counts.
    selectors = {"*": 0, etree.QName(element).localname: 0, f"#{element.get('id')}": 2}
    selectors.update((f".{name}", 1) for name in element.get("class", "").split(None, MOST_CLASSES)[:MOST_CLASSES])
    matching = (
        (weight, position, name, value)
        for selector, weight in selectors.items()
        for name, (position, value) in rules.get(selector, {}).items()
    )
    style.update((name, value) for _, _, name, value in sorted(matching))
    return {**style, **declarations(element.get("style", ""))}
