"""What decides whether a shape is drawn: attributes, the element's own style, and plain rules of a style sheet."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from lxml import etree

from catalog_builder.pattern.tree import SVG

NAMES = ("display", "visibility", "fill-rule")
MOST_CHARACTERS = 50_000
_SELECTOR = re.compile(r"[.#]?[A-Za-z_][\w-]*|\*")

Rules = Sequence[tuple[str, Mapping[str, str]]]


def read_rules(root: etree._Element) -> Rules:
    """Read the rules of every ``<style>`` whose selector is one class, one id, or one element's name."""
    sheets = ["".join(str(part) for part in sheet.itertext()) for sheet in root.iter(SVG + "style")]
    plain = (re.sub(r"/\*.*?\*/", "", sheet[:MOST_CHARACTERS], flags=re.DOTALL) for sheet in sheets)
    return [rule for sheet in plain for rule in _rules(sheet)]


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
    mine.update((f".{name}", 1) for name in element.get("class", "").split())
    matching = [(mine[selector], pairs) for selector, pairs in rules if selector in mine]
    for _, pairs in sorted(matching, key=lambda one: one[0]):
        found.update(pairs)
    return {**found, **declarations(element.get("style", ""))}
