"""What decides whether a shape is drawn: attributes, the element's own style, and plain rules of a style sheet."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from lxml import etree

from catalog_builder.pattern.svg.tree import SVG

# What paints a shape, handed down from a group to its members; "opacity" is of the whole group.
PAINT = {"fill", "stroke", "stroke-width", "fill-opacity", "stroke-opacity", "opacity"}
NAMES = PAINT | {"display", "visibility", "fill-rule", "transform", "transform-origin", "clip-path", "mask"}
_NO_PAINT = {"none", "transparent"}
# Of all style sheets together, and of the classes of one element.
MOST_CHARACTERS = 50_000
MOST_CLASSES = 50
_ZERO = re.compile(r"[+-]?(0+\.?0*|\.0+)(%|[a-z]+)?")
_SELECTOR = re.compile(r"[.#]?[A-Za-z_][\w-]*|\*")


@dataclass(frozen=True, slots=True)
class Rules:
    """The rules of a drawing's style sheets.

    ``by_selector`` has by selector and name the position of the last rule that gives a value, and the value.
    ``unread`` has other selectors whose rules might hide or move a shape, each with its ``<style>``.
    """

    by_selector: Mapping[str, Mapping[str, tuple[int, str]]]
    unread: tuple[tuple[str, etree._Element], ...]


def read_rules(root: etree._Element) -> Rules:
    """Read the rules of every ``<style>`` whose selector is one class, one id, or one element's name."""
    rules: dict[str, dict[str, tuple[int, str]]] = {}
    unread: list[tuple[str, etree._Element]] = []
    characters_left = MOST_CHARACTERS
    count = 0
    for element in root.iter(SVG + "style"):
        sheet = "".join(str(part) for part in element.itertext())[:characters_left]
        characters_left -= len(sheet)
        for selector, pairs in _rules(re.sub(r"/\*.*?\*/", "", sheet, flags=re.DOTALL)):
            count += 1
            if _SELECTOR.fullmatch(selector):
                rules.setdefault(selector, {}).update({name: (count, value) for name, value in pairs.items()})
            elif pairs:
                unread.append((selector, element))
    return Rules(rules, tuple(unread))


def _rules(sheet: str) -> Iterator[tuple[str, Mapping[str, str]]]:
    for block in sheet.split("}")[:-1]:
        before, _, body = block.rpartition("{")
        for selector in before.rpartition("{")[2].split(","):
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
    style = {str(name): str(value).strip() for name, value in element.attrib.items() if value and name in NAMES}
    # An id goes before a class, a class before an element's name; of two alike, the later rule counts.
    selectors = {"*": 0, etree.QName(element).localname: 0, f"#{element.get('id')}": 2}
    selectors.update((f".{name}", 1) for name in element.get("class", "").split(None, MOST_CLASSES)[:MOST_CLASSES])
    matching = (
        (weight, position, name, value)
        for selector, weight in selectors.items()
        for name, (position, value) in rules.by_selector.get(selector, {}).items()
    )
    style.update((name, value) for _, _, name, value in sorted(matching))
    return {**style, **declarations(element.get("style", ""))}


def painted(outer: Mapping[str, str], style: Mapping[str, str]) -> Mapping[str, str]:
    """Give the paint of an element of a style, inside a group of an ``outer`` paint."""
    own = {name: value for name, value in style.items() if name in PAINT and value != "inherit"}
    if _is_zero(outer.get("opacity", "1")):
        own["opacity"] = "0"
    return {**outer, **own} if own else outer


def is_seen(paint: Mapping[str, str]) -> bool:
    """Say whether a paint shows a shape: by its fill, black from the start, or its stroke, none from the start."""
    return not _is_zero(paint.get("opacity", "1")) and (
        (paint.get("fill", "black") not in _NO_PAINT and not _is_zero(paint.get("fill-opacity", "1")))
        or has_stroke(paint)
    )


def has_stroke(paint: Mapping[str, str]) -> bool:
    """Say whether a paint draws the line of a shape."""
    clear = any(_is_zero(paint.get(name, "1")) for name in ("stroke-width", "stroke-opacity"))
    return paint.get("stroke", "none") not in _NO_PAINT and not clear


def _is_zero(text: str) -> bool:
    return bool(_ZERO.fullmatch(text))
