"""Labels: the words of a text, and the place where it begins."""

from __future__ import annotations

import numpy as np
from lxml import etree

from catalog_builder.pattern.svg.curve import Points, applied
from catalog_builder.pattern.svg.tree import SVG
from catalog_builder.pattern.svg.viewport import Size, length_px, percent_base


def read_label(element: etree._Element, matrix: Points, view: Size | None) -> tuple[str, tuple[float, float]]:
    """Give the words of a ``<text>`` and its place after ``matrix``, an affine matrix of shape (3, 3).

    Raises:
        ViewportError: its place is no length.
    """
    # Some programs write the place of a text on its first line alone.
    line = next((tspan for tspan in element.iter(SVG + "tspan") if tspan.get("x") or tspan.get("y")), element)
    begin = [
        _first(line, axis, view, _first(element, axis, view)) + _first(line, f"d{axis}", view) for axis in ("x", "y")
    ]
    x, y = applied(matrix, np.array([begin]))[0].tolist()
    return " ".join("".join(str(part) for part in element.itertext()).split()), (x, y)


def _first(element: etree._Element, name: str, view: Size | None, otherwise: float = 0.0) -> float:
    """Give the first length of an attribute that may hold a list, in px."""
    words = element.get(name, "").replace(",", " ").split()
    return length_px(words[0], percent_base(name, view)) if words else otherwise
