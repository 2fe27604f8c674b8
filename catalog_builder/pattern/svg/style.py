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

# By selector and name: the last value that a sheet gives, and how late it stands there.
Rules = Mapping[str, Mapping[str, tuple[int, str]]]


def read_rules(root: etree._Element) -> Rules:
    """Read the rules of every ``<style>`` whose selector is one class, one id, or one element's name."""
    rules: dict[str, dict[str, tuple[int, str]]] = {}
    left = MOST_CHARACTERS
    count = 0
    for found in root.iter(SVG + "style"):
        sheet = "".join(str(part) for part in found.itertext())[:left]
        left -= len(sheet)
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
    """Read ``name: value`` pairs parted by semicolons; only the names that matter here are kept."""
    found = {}
    for part in text.split(";"):
        name, _, value = part.partition(":")
        if name.strip() in NAMES and value.strip():
            found[name.strip()] = value.replace("!important", "").strip()
    return found


def style_of(element: etree._Element, rules: Rules) -> dict[str, str]:
    """Give what holds for an element: attributes give way to rules, rules to its own style (CSS 2, 6.4)."""
    found = {name: str(element.get(name)).strip() for name in NAMES if element.get(name)}
    mine = {"*": 0, etree.QName(element).localname: 0, f"#{element.get('id')}": 2}
    mine.update((f".{name}", 1) for name in element.get("class", "").split(None, MOST_CLASSES)[:MOST_CLASSES])
    matching = (
        (weight, late, name, value)
        for selector, weight in mine.items()
        for name, (late, value) in rules.get(selector, {}).items()
    )
    found.update((name, value) for _, _, name, value in sorted(matching))
    return {**found, **declarations(element.get("style", ""))}
