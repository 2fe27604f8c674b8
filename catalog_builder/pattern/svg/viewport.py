"""SVG's lengths, transforms and viewports, by SVG 2 (chapters 7 and 8) and CSS Values 3 (absolute lengths)."""

from __future__ import annotations

import math
import re
from typing import TypeAlias

import numpy as np
from lxml import etree

from catalog_builder.pattern.svg.curve import Points

# 1in = 2.54cm = 96px; 1pt = 1/72in; 1pc = 12pt; 1Q = 1/40cm: CSS Values 3, section 5.2.
PX_PER = {
    "": 1.0,
    "px": 1.0,
    "in": 96.0,
    "mm": 96 / 25.4,
    "cm": 96 / 2.54,
    "pt": 96 / 72,
    "pc": 16.0,
    "q": 96 / 101.6,
}
MM_PER_PX = 25.4 / 96
# A window hanging needs far less; a larger drawing is a slip, and flattening it would fill the memory.
MOST_PX = 1e7
MOST_SCALE = 1e9
MOST_CHARACTERS = 2_000

_ALONG_X = ("x", "x1", "x2", "dx", "cx", "rx", "width")
_ALONG_Y = ("y", "y1", "y2", "dy", "cy", "ry", "height")
# Width and height.
Size: TypeAlias = tuple[float, float]
_LENGTH = re.compile(r"\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*([a-zA-Z]*|%)\s*")
_TRANSFORM = re.compile(r"\s*(matrix|translate|scale|rotate|skewX|skewY)\s*\(([^()]*)\)\s*,?")
_SPLIT = re.compile(r"[\s,]+")


class ViewportError(ValueError):
    """A length, transform or viewBox that cannot be read; its text says what is wrong."""


def length_px(text: str, whole: float | None = None) -> float:
    """Read a length in px; a percentage is one of ``whole``.

    Raises:
        ViewportError: it is not a number with an absolute unit, or a percentage of an unknown whole.
    """
    match = _LENGTH.fullmatch(text) if len(text) < 60 else None
    unit = match[2].lower() if match else None
    if unit == "%" and whole is None:
        raise ViewportError(f"{text!r} is not a length, as no viewBox says how large the page is")
    if match is None or (unit != "%" and unit not in PX_PER):
        raise ViewportError(f"{text[:60]!r} is not a length with an absolute unit")
    length = float(match[1]) * ((whole or 0) / 100 if unit == "%" else PX_PER[match[2].lower()])
    if not abs(length) <= MOST_PX:
        raise ViewportError(f"{text!r} is too long")
    return length


def attribute_px(element: etree._Element, name: str, view: Size | None, otherwise: str = "0") -> float:
    """Read a length attribute in px, in a viewport of a size in user units.

    Raises:
        ViewportError: it cannot be read.
    """
    return length_px(element.get(name, otherwise), percent_base(name, view))


def percent_base(name: str, view: Size | None) -> float | None:
    """Give the length that percentages of an attribute are of, in a viewport of a size in user units.

    Source: SVG 2, 8.9: its width along x, its height along y, else its diagonal / sqrt(2).
    """
    if view is None:
        return None
    if name in _ALONG_X:
        return view[0]
    return view[1] if name in _ALONG_Y else math.hypot(*view) / math.sqrt(2)


def numbers(text: str) -> list[float]:
    """Read numbers between spaces or commas.

    Raises:
        ViewportError: one of them is not a number.
    """
    try:
        values = [float(part) for part in _SPLIT.split(text.strip()) if part]
    except ValueError:
        raise ViewportError(f"{text.strip()[:60]!r} does not hold numbers only") from None
    if not all(abs(number) <= MOST_PX for number in values):
        raise ViewportError(f"{text.strip()[:60]!r} holds a number that is too large")
    return values


def transform(text: str) -> Points:
    """Read a transform, of an attribute or of a style, as an affine matrix of shape (3, 3).

    Raises:
        ViewportError: a function is unknown or has the wrong count of numbers, or there are too many.
    """
    if len(text) > MOST_CHARACTERS:
        raise ViewportError(f"the transform {text.strip()[:40]!r} is too long")
    if "px" in text or "deg" in text:  # CSS writes units
        text = re.sub(r"(?<=[\d.])(px|deg)\b", "", text)
    matrix, at = np.eye(3), 0
    while match := _TRANSFORM.match(text, at):
        matrix, at = joined(matrix, _function(match[1], numbers(match[2]), match[0].strip())), match.end()
    if text[at:].strip() and text.strip() != "none":
        raise ViewportError(f"the transform {text[at:].strip()[:40]!r} cannot be read")
    return matrix


def joined(outer: Points, inner: Points) -> Points:
    """Join two matrices.

    Raises:
        ViewportError: together they scale out of all bounds.
    """
    matrix = outer @ inner
    if not np.abs(matrix).max() <= MOST_SCALE:
        raise ViewportError("the transforms scale or move the shape out of all bounds")
    return np.asarray(matrix)


def _function(name: str, values: list[float], text: str) -> Points:
    count = len(values)
    if name == "matrix" and count == 6:
        a, b, c, d, e, f = values
        return np.array([[a, c, e], [b, d, f], [0, 0, 1]])
    if name == "translate" and count in (1, 2):
        return np.array([[1, 0, values[0]], [0, 1, values[1] if count == 2 else 0], [0, 0, 1]])
    if name == "scale" and count in (1, 2):
        return np.diag([values[0], values[-1], 1.0])
    if name == "rotate" and count in (1, 3):
        turn = math.radians(values[0])
        x, y = values[1:] if count == 3 else (0.0, 0.0)
        cos, sin = math.cos(turn), math.sin(turn)
        return np.array([[cos, -sin, x - cos * x + sin * y], [sin, cos, y - sin * x - cos * y], [0, 0, 1]])
    if name in ("skewX", "skewY") and count == 1:
        slant = math.tan(math.radians(values[0]))
        return np.array(
            [[1, slant, 0], [0, 1, 0], [0, 0, 1]] if name == "skewX" else [[1, 0, 0], [slant, 1, 0], [0, 0, 1]]
        )
    raise ViewportError(f"the transform {text!r} has the wrong count of numbers")


def view_matrix(view_box: str | None, fit: str | None, width: float | None, height: float | None) -> Points:
    """Map user units to a viewport of ``width`` by ``height``, by viewBox and preserveAspectRatio.

    Where one of the two sizes is missing, the viewBox's proportions give it; where both are, the scale is 1.

    Raises:
        ViewportError: the viewBox is not four numbers with a width and height above zero.
    """
    if view_box is None:
        return np.eye(3)
    box = numbers(view_box)
    if len(box) != 4 or box[2] <= 0 or box[3] <= 0:
        raise ViewportError(f"the viewBox {view_box!r} is not four numbers with a width and height above zero")
    x, y, w, h = box
    if width is None and height is None:
        width, height = w, h
    elif width is None:
        width = (height or 0) * w / h
    elif height is None:
        height = width * h / w
    assert height is not None  # noqa: S101 - for the type checker: both are known by now
    sx, sy = width / w, height / h
    if max(sx, sy, abs(x * sx), abs(y * sy)) > MOST_SCALE:
        raise ViewportError(f"the viewBox {view_box!r} is scaled out of all bounds")
    words = (fit or "xMidYMid meet").split()  # the default by SVG 2
    if words[0] == "none":
        return np.array([[sx, 0, -x * sx], [0, sy, -y * sy], [0, 0, 1]])
    if not re.fullmatch("x(Min|Mid|Max)Y(Min|Mid|Max)", words[0]):
        raise ViewportError(f"preserveAspectRatio {fit!r} cannot be read")
    scale = max(sx, sy) if words[-1] == "slice" else min(sx, sy)
    share = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}
    left = (width - w * scale) * share[words[0][1:4]]
    top = (height - h * scale) * share[words[0][5:8]]
    return np.array([[scale, 0, left - x * scale], [0, scale, top - y * scale], [0, 0, 1]])


def viewport(element: etree._Element, outer: Size | None = None) -> tuple[Points, Size | None]:
    """Map an ``<svg>``'s user units to the viewport that it opens in an ``outer`` one, and give its size in user units.

    The size of the root's viewport is unknown where it has neither a viewBox nor a width and height.

    Raises:
        ViewportError: its size, viewBox or preserveAspectRatio cannot be read.
    """
    sizes = [
        None
        if (element.get(name) is None or element.get(name, "").strip().endswith("%")) and outer is None
        else attribute_px(element, name, outer, "100%")
        for name in ("width", "height")
    ]
    if any(size is not None and size <= 0 for size in sizes):
        raise ViewportError("the drawing has a width or height of zero or less")
    width, height = sizes
    matrix = view_matrix(element.get("viewBox"), element.get("preserveAspectRatio"), width, height)
    if element.get("viewBox") is not None:
        width, height = numbers(element.get("viewBox", ""))[2:]
    return matrix, None if width is None or height is None else (width, height)
