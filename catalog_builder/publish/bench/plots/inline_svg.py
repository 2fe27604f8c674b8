"""A plot made ready to stand inside a page: with the page's colours and font, and with words for screen readers."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from lxml import etree
from markupsafe import Markup

_SVG = "{http://www.w3.org/2000/svg}"
_HREF = "{http://www.w3.org/1999/xlink}href"


@dataclass(frozen=True, slots=True, kw_only=True)
class Caption:
    """A plot's title and a text that says what it shows, for screen readers; ``name`` is unique on its page."""

    name: str
    title: str
    text: str


def inlined(data: bytes, caption: Caption | str, colours: Mapping[str, str]) -> Markup:
    """Give SVG to stand inside a page. ``colours`` are what the style sheet calls the colours it was drawn in.

    A mere name in place of a caption makes it a mark beside words, hidden from screen readers.
    """
    parser = etree.XMLParser(remove_blank_text=True, remove_comments=True, resolve_entities=False, no_network=True)
    root = etree.fromstring(data, parser)
    _settle(root, caption if isinstance(caption, str) else caption.name, colours)
    for name in ("width", "height", "version"):
        root.attrib.pop(name, "")
    if isinstance(caption, str):
        root.set("class", "key")
        root.set("aria-hidden", "true")
    else:
        root.set("class", "plot")
        root.set("role", "img")
        root.set("aria-labelledby", f"{caption.name}-title {caption.name}-text")
        for place, (tag, name, text) in enumerate((("title", "title", caption.title), ("desc", "text", caption.text))):
            words = etree.Element(f"{_SVG}{tag}", {"id": f"{caption.name}-{name}"})
            words.text = text
            root.insert(place, words)
    etree.cleanup_namespaces(root)
    return Markup(etree.tostring(root, encoding="unicode"))  # noqa: S704 - lxml has escaped every text in it


def _settle(root: etree._Element, name: str, colours: Mapping[str, str]) -> None:
    """Take out what would reach beyond the plot: styles, names that another plot has too, matplotlib's notes."""
    etree.strip_elements(root, f"{_SVG}metadata", f"{_SVG}style")
    text = etree.tostring(root, encoding="unicode")
    used = set(re.findall(r'(?:url\(#|href="#)([\w.-]+)', text))
    for tag in root.iter():
        if "id" in tag.attrib:
            own = str(tag.attrib.pop("id"))
            if own in used:
                tag.set("id", f"{name}-{own}")
            elif not re.search(r"_\d+$", own):
                tag.set("class", own)
        if _HREF in tag.attrib:
            tag.set("href", f"#{name}-{str(tag.attrib.pop(_HREF))[1:]}")
        if "clip-path" in tag.attrib:
            tag.set("clip-path", str(tag.get("clip-path")).replace("url(#", f"url(#{name}-"))
        if "style" in tag.attrib:
            tag.set("style", _styled(str(tag.get("style")), colours))
        for place in ("d", "x", "y", "width", "height", "transform"):
            if place in tag.attrib:
                tag.set(place, _short(str(tag.get(place))))


def _styled(style: str, colours: Mapping[str, str]) -> str:
    """Put the style sheet's colours in, and leave the font's family to the page."""
    parts = []
    for part in style.split(";"):
        key, _, value = (word.strip() for word in part.partition(":"))
        if key == "font":
            size = re.search(r"[\d.]+px", value)
            parts.append(f"font-size: {size[0] if size else '13px'}")
            parts += ["font-weight: 600"] if "700" in value or "bold" in value else []
        elif key and key != "font-family":
            parts.append(f"{key}: {colours.get(value, value)}")
    return "; ".join(parts)


def _short(places: str) -> str:
    """Round places to a hundredth of a pixel, so that every machine writes the same bytes."""
    short = re.sub(r"-?\d+\.\d+", lambda number: f"{round(float(number[0]), 2) + 0.0:g}", places)
    return " ".join(short.split())
