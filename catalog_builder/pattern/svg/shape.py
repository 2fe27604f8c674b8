"""The basic shapes of SVG 2 (chapter 10) as runs of segments, by the paths that the standard gives for them."""

from __future__ import annotations

import math

import numpy as np
from lxml import etree

from catalog_builder.pattern.svg.curve import Arc, Segment, Straight, Subpath, arc_between
from catalog_builder.pattern.svg.path import read_path
from catalog_builder.pattern.svg.viewport import Size, ViewportError, attribute_px, numbers


def subpaths_of(element: etree._Element, name: str, view: Size | None = None) -> tuple[Subpath, ...]:
    """Give a shape's runs in its own coordinates, in a viewport of a size; none for a shape that SVG does not draw.

    Raises:
        PathError, ViewportError: an attribute cannot be read.
    """

    def size(attribute: str) -> float:
        return attribute_px(element, attribute, view)

    if name == "path":
        text = element.get("d", "")
        return read_path(text) if text.strip() not in ("", "none") else ()
    if name == "line":
        return (Subpath((Straight(np.array([[size("x1"), size("y1")], [size("x2"), size("y2")]])),), closed=False),)
    if name in ("polyline", "polygon"):
        return _poly(numbers(element.get("points", "")), closed=name == "polygon")
    if name == "rect":
        return _rect(element, view)
    rx, ry = (size("r"), size("r")) if name == "circle" else (size("rx"), size("ry"))
    if rx < 0 or ry < 0:
        raise ViewportError("a radius is less than zero")
    if rx == 0 or ry == 0:
        return ()
    centre = np.array([size("cx"), size("cy")])
    return (Subpath((Arc(centre, np.array([[rx, 0.0], [0.0, ry]]), 0.0, 2 * math.pi),), closed=True),)


def _poly(values: list[float], closed: bool) -> tuple[Subpath, ...]:
    if len(values) % 2:
        raise ViewportError("points holds an odd count of numbers")
    points = np.array(values).reshape(-1, 2)
    return (Subpath((Straight(points),), closed),) if len(points) > 1 else ()


def _rect(element: etree._Element, view: Size | None) -> tuple[Subpath, ...]:
    x, y, w, h = (attribute_px(element, name, view) for name in ("x", "y", "width", "height"))
    if w < 0 or h < 0:
        raise ViewportError("a rectangle's width or height is less than zero")
    if w == 0 or h == 0:
        return ()
    radii = [
        None if element.get(name, "auto") == "auto" else attribute_px(element, name, view) for name in ("rx", "ry")
    ]
    rx = min(next((radius for radius in radii if radius is not None), 0.0), w / 2)
    ry = min(next((radius for radius in reversed(radii) if radius is not None), 0.0), h / 2)
    if rx <= 0 or ry <= 0:
        corners = np.array([[x, y], [x + w, y], [x + w, y + h], [x, y + h], [x, y]])
        return (Subpath((Straight(corners),), closed=True),)
    stops = np.array(
        [
            [x + rx, y], [x + w - rx, y], [x + w, y + ry], [x + w, y + h - ry],
            [x + w - rx, y + h], [x + rx, y + h], [x, y + h - ry], [x, y + ry],
        ]
    )  # fmt: skip
    segments: list[Segment] = []
    for corner in range(4):
        begin, end, following = stops[2 * corner], stops[2 * corner + 1], stops[(2 * corner + 2) % 8]
        segments.append(Straight(np.array([begin, end])))
        segments.append(arc_between(end, following, (rx, ry), 0.0, (False, True)))
    return (Subpath(tuple(segments), closed=True),)
