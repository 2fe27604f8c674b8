"""The colour that fills a shape, as the drawing writes it."""

from __future__ import annotations

import re
from collections.abc import Mapping

from lxml import etree

from catalog_builder.pattern.svg.tree import SVG, XLINK_HREF

# Of gradients that take their colours from another one.
MOST_LINKS = 8
_LINK = re.compile(r"url\(\s*[\"']?#([^\"')]+)[\"']?\s*\)\s*(.*)")
_STOP = re.compile(r"(?:^|;)\s*stop-color\s*:\s*([^;]+)")
_NO_COLOUR = {"", "none", "transparent", "currentcolor", "inherit", "context-fill", "context-stroke"}


def fill_of(paint: Mapping[str, str], named: Mapping[str | None, etree._Element]) -> str | None:
    """Give the colour of a paint's fill as it is written, None where no colour is.

    A gradient counts by its first colour. ``named`` are the drawing's elements by their ids.
    """
    fill = paint.get("fill", "").strip()
    if link := _LINK.fullmatch(fill):
        fill = _first_stop(named.get(link[1]), named) or link[2].strip()
    return None if fill.lower() in _NO_COLOUR else fill


def _first_stop(gradient: etree._Element | None, named: Mapping[str | None, etree._Element]) -> str:
    for _ in range(MOST_LINKS):
        if gradient is None:
            break
        stop = gradient.find(f"{SVG}stop")
        if stop is not None:
            styled = _STOP.search(stop.get("style", ""))
            return (styled[1] if styled else stop.get("stop-color", "")).strip()
        gradient = named.get((gradient.get("href") or gradient.get(XLINK_HREF) or "").strip().removeprefix("#"))
    return ""
