"""How the benchmark's patterns are drawn: smooth lines through points, arcs, marks; lengths in mm, y downwards."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Design:
    """A pattern: its elements in a box from (``left``, ``top``), how wide its glass is, and its glass words."""

    left: float
    top: float
    width: float
    height: float
    glass_width: float
    elements: tuple[str, ...]
    words: tuple[str, ...]

    def svg(self) -> str:
        """Give the drawing as SVG of its physical size."""
        box = " ".join(number(one) for one in (self.left, self.top, self.width, self.height))
        size = f'width="{number(self.width)}mm" height="{number(self.height)}mm"'
        head = f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="{box}">'
        group = '<g fill="none" stroke="#222" stroke-width="0.8">'
        return "\n".join((head, group, *self.elements, "</g>", "</svg>"))


def number(value: float) -> str:
    """Give a length as drawing programs write it: to hundredths, without zeros that say nothing."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if abs(value) >= 0.005 else "0"


def spot(point: Point) -> str:
    """Give a point as a path's data hold it."""
    return f"{number(point[0])} {number(point[1])}"


def smooth(knots: Sequence[Point]) -> str:
    """Give curves through knots, the first of them aside; read backwards they are the same line.

    These are the cubics of Catmull and Rom: each knot's tangent runs along its two neighbours.
    """
    parts = []
    for at in range(len(knots) - 1):
        begin, end = knots[at], knots[at + 1]
        before, after = knots[max(at - 1, 0)], knots[min(at + 2, len(knots) - 1)]
        first = begin[0] + (end[0] - before[0]) / 6, begin[1] + (end[1] - before[1]) / 6
        second = end[0] - (after[0] - begin[0]) / 6, end[1] - (after[1] - begin[1]) / 6
        parts.append(f"C{spot(first)} {spot(second)} {spot(end)}")
    return " ".join(parts)


def arc(radius: float, end: Point, *, clockwise: bool = True) -> str:
    """Give an arc of less than half a circle to a point."""
    return f"A{number(radius)} {number(radius)} 0 0 {int(clockwise)} {spot(end)}"


def line(knots: Sequence[Point]) -> str:
    """Draw a smooth open line, where glass meets glass."""
    return f'<path d="M{spot(knots[0])} {smooth(knots)}"/>'


def outline(start: Point, parts: Iterable[str], glass: str | None = None, grain: float | None = None) -> str:
    """Draw a closed outline from path data; of one piece where its glass is named."""
    marks = "" if glass is None else f' data-glass="{glass}"'
    marks += "" if grain is None else f' data-grain="{grain % 180:.0f}"'
    return f'<path{marks} d="M{spot(start)} {" ".join(parts)} Z"/>'


def ring(point: Point) -> str:
    """Mark the place of a hanging ring."""
    return f'<circle data-mark="ring" cx="{number(point[0])}" cy="{number(point[1])}" r="2"/>'


def label(point: Point, text: int, glass: str) -> str:
    """Write a piece's number and glass word into it."""
    x, y = number(point[0]), number(point[1])
    return f'<text x="{x}" y="{y}" font-size="4" text-anchor="middle" data-glass="{glass}">{text}</text>'


def between(first: Point, second: Point, share: float = 0.5) -> Point:
    """Give the point at a share of the way from one to another."""
    return first[0] + (second[0] - first[0]) * share, first[1] + (second[1] - first[1]) * share
