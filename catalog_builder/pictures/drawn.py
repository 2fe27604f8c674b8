"""A pattern drawn as SVG: glass in its colours, solder lines in the finish, rings and wires.

Coordinates are rounded to a hundredth of a millimetre, so that every machine writes the same bytes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from html import escape

import numpy as np
import shapely
from shapely import LineString, MultiLineString, Polygon

from catalog_builder.hanging.hung import Hung
from catalog_builder.hanging.made import Made
from catalog_builder.hanging.mass import bounds
from catalog_builder.pattern.curve import Points
from catalog_builder.pictures.glass import gradient
from catalog_builder.records.material import Material

# How far a drawn line may stray from the pattern, in mm: far less than a screen shows.
_SIMPLER_MM = 0.04
_PX_PER_MM = 6.0


@dataclass(frozen=True, slots=True)
class Metal:
    """How solder looks in a finish: its body and the light that runs along it."""

    body: str
    shine: str


_METALS = {"black": Metal("#1f2226", "#6d747c"), "copper": Metal("#7a4a30", "#d79a6c")}
_BRIGHT = Metal("#868d94", "#e3e7ea")


def metal_of(finish: str) -> Metal:
    """Choose how solder looks by the words of a finish: black, copper, or bright for any other."""
    return next((metal for word, metal in _METALS.items() if word in finish.lower()), _BRIGHT)


def picture_svg(made: Made, hung: Hung, glass: Mapping[str, Material], metal: Metal, words: tuple[str, str]) -> str:
    """Draw the piece alone, on nothing: the picture of a product that has no photo yet.

    ``words`` are its title and what keeps its names apart from those of others that stand in the same page.
    """
    title, identity = words
    left, top, right, bottom = _framed(made, hung)
    body = "".join(_piece_marks(made, hung, glass, metal, identity))
    size = f'width="{_n((right - left) * _PX_PER_MM)}" height="{_n((bottom - top) * _PX_PER_MM)}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{_box(left, top, right, bottom)}" {size}>'
        f"<title>{escape(title)}</title>{body}</svg>"
    )


def picture_size(made: Made, hung: Hung) -> tuple[int, int]:
    """Give the width and height in px at which ``picture_svg`` draws."""
    left, top, right, bottom = _framed(made, hung)
    return round((right - left) * _PX_PER_MM), round((bottom - top) * _PX_PER_MM)


def diagram_svg(made: Made, hung: Hung, glass: Mapping[str, Material], words: tuple[str, str], identity: str) -> str:
    """Draw the pattern as lines with the pieces' numbers, to stand in a page.

    ``words`` are its title and description; ``identity`` keeps its names apart from others on the page.
    """
    left, top, right, bottom = _framed(made, hung)
    pieces = "".join(
        f'<path d="{_area(piece.face)}" fill="{glass[piece.glass].colour}" fill-opacity="0.28"/>'
        for piece in made.pattern.pieces
    )
    lines = _lines(np.concatenate([made.edges.seams, made.edges.rims]))
    wires = "".join(_line(wire.line) for wire in made.pattern.wires)
    numbers = "".join(
        _number(piece.number, cut.shape) for piece, cut in zip(made.pattern.pieces, made.cuts, strict=True)
    )
    radius = float(hung.ring.length_mm or 6) / 2
    rings = "".join(f'<circle cx="{_n(x)}" cy="{_n(y - radius)}" r="{_n(radius)}"/>' for x, y in hung.rings)
    stroke = _n(max(right - left, bottom - top) / 220)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{_box(left, top, right, bottom)}" role="img" '
        f'aria-labelledby="{identity}-title {identity}-text"><title id="{identity}-title">{escape(words[0])}</title>'
        f'<desc id="{identity}-text">{escape(words[1])}</desc>{pieces}'
        f'<g fill="none" stroke="currentColor" stroke-width="{stroke}" stroke-linejoin="round" stroke-linecap="round">'
        f'<path d="{lines}{wires}"/>{rings}</g>'
        f'<g fill="currentColor" text-anchor="middle" font-family="sans-serif">{numbers}</g></svg>'
    )


def _number(number: str, shape: Polygon) -> str:
    """Write a piece's number where it has most room, no larger than it fits."""
    line = shapely.maximum_inscribed_circle(shape, 0.5)
    (x, y), radius = line.coords[0], line.length
    size = min(6.0, max(1.6, 1.5 * radius / max(1, len(number)) ** 0.5))
    return f'<text x="{_n(x)}" y="{_n(y + size * 0.36)}" font-size="{_n(size)}">{escape(number)}</text>'


def _framed(made: Made, hung: Hung) -> tuple[float, float, float, float]:
    left, top, right, bottom = bounds(made.pattern)
    top = min(top, min(y for _, y in hung.rings) - 1.2 * float(hung.ring.length_mm or 0))
    return left - 3, top - 2, right + 3, bottom + 3


def scene_svg(made: Made, hung: Hung, glass: Mapping[str, Material], metal: Metal, title: str) -> str:
    """Draw the piece as it hangs before a bright wall, its coloured shadow behind it; a square picture."""
    left, top, right, bottom = bounds(made.pattern)
    side = 1.42 * max(right - left, bottom - top + 10)
    x, y = (left + right - side) / 2, (top + bottom - side) / 2 - 0.02 * side
    shade = side * 0.03
    body = "".join(_piece_marks(made, hung, glass, metal, "p"))
    shadow = "".join(
        f'<path d="{_area(piece.face, 0.3)}" fill="{glass[piece.glass].colour}"/>' for piece in made.pattern.pieces
    )
    lines = "".join(
        f'<path d="M{_n(rx)} {_n(ry - float(hung.ring.length_mm or 0))}L{_n(top_x)} {_n(y)}" stroke="#8b8f8e" '
        f'stroke-width="{_n(side / 320)}" opacity="0.75"/>'
        for (rx, ry), top_x in zip(hung.rings, _cord_tops(hung, left, right), strict=True)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{_box(x, y, x + side, y + side)}" '
        f'width="1200" height="1200"><title>{escape(title)}</title>'
        '<defs><radialGradient id="wall" cx="0.42" cy="0.36" r="0.85">'
        '<stop offset="0" stop-color="#fffdf7"/><stop offset="0.55" stop-color="#f3efe6"/>'
        '<stop offset="1" stop-color="#dad6cc"/></radialGradient>'
        '<filter id="soft" x="-20%" y="-20%" width="140%" height="140%">'
        f'<feGaussianBlur stdDeviation="{_n(shade * 0.55)}"/></filter></defs>'
        f'<rect x="{_n(x)}" y="{_n(y)}" width="{_n(side)}" height="{_n(side)}" fill="url(#wall)"/>'
        f'<g transform="translate({_n(shade * 1.5)} {_n(shade * 1.9)})" filter="url(#soft)" opacity="0.42">{shadow}</g>'
        f'<g fill="none">{lines}</g>{body}</svg>'
    )


def _cord_tops(hung: Hung, left: float, right: float) -> list[float]:
    """One ring hangs straight down; over two, cord or chain leans to a point above the middle."""
    if len(hung.rings) == 1 or hung.hanger is None or hung.hanger.kind == "hook":
        return [x for x, _ in hung.rings]
    middle = (left + right) / 2
    lean = 0.35
    return [x + (middle - x) * lean for x, _ in hung.rings]


def _piece_marks(made: Made, hung: Hung, glass: Mapping[str, Material], metal: Metal, identity: str) -> Iterator[str]:
    pieces = made.pattern.pieces
    yield "<defs>"
    for index, cut in enumerate(made.cuts):
        yield gradient(f"{identity}-{index}", glass[cut.glass], cut, f"{cut.glass} {cut.number}")
    yield "</defs>"
    for index, piece in enumerate(pieces):
        yield f'<path d="{_area(piece.face)}" fill="url(#{identity}-{index})"/>'
    foil = float(made.foil.width_mm or 0) - float(glass[pieces[0].glass].thickness_mm or 0)
    seam = _lines(made.edges.seams)
    rim = _lines(made.edges.rims)
    wires = "".join(_line(wire.line) for wire in made.pattern.wires)
    yield '<g fill="none" stroke-linecap="round" stroke-linejoin="round">'
    if wires:
        yield f'<path d="{wires}" stroke="{metal.body}" stroke-width="1.5"/>'
        yield f'<path d="{wires}" stroke="{metal.shine}" stroke-width="0.5" opacity="0.7"/>'
    for path, width in ((seam, max(1.6, foil)), (rim, max(1.8, foil + 0.4))):
        if path:
            yield f'<path d="{path}" stroke="{metal.body}" stroke-width="{_n(width)}"/>'
            yield f'<path d="{path}" stroke="{metal.shine}" stroke-width="{_n(width * 0.28)}" opacity="0.55"/>'
    yield "</g>"
    radius = float(hung.ring.length_mm or 6) / 2
    for x, y in hung.rings:
        yield (
            f'<circle cx="{_n(x)}" cy="{_n(y - radius)}" r="{_n(radius)}" fill="none" stroke="{metal.body}" '
            f'stroke-width="1.1"/>'
        )


def _lines(stretches: Points) -> str:
    if not len(stretches):
        return ""
    merged = shapely.line_merge(shapely.multilinestrings(list(stretches)))
    lines = list(merged.geoms) if isinstance(merged, MultiLineString) else [merged]
    texts = [_line(line) for line in lines]
    return "".join(sorted(texts))


def _line(line: LineString) -> str:
    points = shapely.get_coordinates(shapely.simplify(line, _SIMPLER_MM))
    closed = len(points) > 3 and np.array_equal(points[0], points[-1])
    text = "M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in (points[:-1] if closed else points).tolist())
    return text + "Z" if closed else text


def _area(face: Polygon, tolerance: float = _SIMPLER_MM) -> str:
    simple = shapely.simplify(face, tolerance)
    texts = []
    for ring in (simple.exterior, *simple.interiors):
        points = shapely.get_coordinates(ring)[:-1].tolist()
        texts.append("M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in points) + "Z")
    return "".join(texts)


def _box(left: float, top: float, right: float, bottom: float) -> str:
    return f"{_n(left)} {_n(top)} {_n(right - left)} {_n(bottom - top)}"


def _n(value: float) -> str:
    """Write a number with at most two digits behind the point, and never a negative zero."""
    text = f"{math.floor(value * 100 + 0.5) / 100:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
