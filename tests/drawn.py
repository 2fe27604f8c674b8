"""Drawings for tests: SVG texts, and what the program makes of them from the text on."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon

from catalog_builder.pattern.cuts import Cut, read_cuts
from catalog_builder.pattern.pieces import Fitting, Pattern, read_pieces
from catalog_builder.pattern.seams import Edges, read_edges
from catalog_builder.pattern.svg.drawing import read_drawing
from catalog_builder.records.reading.source import Source

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Drawn:
    """A drawing as the program reads it: its pieces, its edges and its cuts."""

    pattern: Pattern
    edges: Edges
    cuts: tuple[Cut, ...]

    @property
    def areas(self) -> dict[str, float]:
        """The area of each piece in mm2 by its number."""
        return {piece.number: piece.face.area for piece in self.pattern.pieces}

    @property
    def area(self) -> float:
        """The area of all pieces in mm2."""
        return sum(self.areas.values())

    @property
    def borders(self) -> float:
        """The borders of all pieces in mm, holes too, each piece for itself."""
        return float(sum(piece.face.length for piece in self.pattern.pieces))

    @property
    def euler(self) -> int:
        """V - E + F of its pieces and edges."""
        return euler([piece.face for piece in self.pattern.pieces], self.edges)


def euler(faces: Sequence[Polygon], edges: Edges) -> int:
    """V - E + F of an arrangement, the outer field and holes counted as faces.

    Euler's formula: 1 + the number of groups of faces that hang together, so 2 for one group.
    """
    stretches = np.concatenate([edges.seams, edges.rims])
    corners = np.unique(stretches.reshape(-1, 2), axis=0)
    holes = int(sum(shapely.get_num_interior_rings(shapely.get_parts(shapely.union_all(faces)))))
    return len(corners) - len(stretches) + len(faces) + 1 + holes


@dataclass(frozen=True, slots=True)
class Contour:
    """A closed contour by its first point and path commands, each ending in ``x,y``, back at the start."""

    start: str
    commands: tuple[str, ...]

    @property
    def points(self) -> tuple[str, ...]:
        """The points that the commands lead to, the start first and last."""
        return (self.start, *(command.split()[-1].lstrip("MLCQA") for command in self.commands))

    @property
    def outline(self) -> str:
        """The contour as one closed path."""
        return f'<path d="M{self.start} {" ".join(self.commands)} Z"/>'

    @property
    def lines(self) -> str:
        """The contour as open lines, one for each command."""
        pairs = zip(self.points, self.commands, strict=False)
        return "".join(f'<path d="M{point} {command}"/>' for point, command in pairs)

    def turned(self, by: int) -> Contour:
        """The same contour begun at another of its points."""
        by %= len(self.commands)
        return Contour(self.points[by], (*self.commands[by:], *self.commands[:by]))


def polygon(points: Sequence[Place]) -> Contour:
    """A straight-sided contour through points."""
    shown = [f"{x!r},{y!r}" for x, y in points]
    return Contour(shown[0], tuple(f"L{point}" for point in (*shown[1:], shown[0])))


def square(x: float, y: float, side: float) -> Contour:
    """A square by its upper left corner and its side."""
    return polygon([(x, y), (x + side, y), (x + side, y + side), (x, y + side)])


def body(contours: Iterable[Contour], habit: str) -> str:
    """Contours by one of the two habits of drawing: closed ``outlines``, or open ``lines``."""
    return "\n".join(one.outline if habit == "outlines" else one.lines for one in contours)


def svg(marks: str, size: str = "") -> Source:
    """An SVG text around marks.

    Without ``size`` it has no physical size, and a unit is what the scale makes it.
    """
    return Source("pattern.svg", f'<svg xmlns="http://www.w3.org/2000/svg" data-glass="any" {size}>\n{marks}\n</svg>')


def drawn(marks: str, size: str = "", scale: float = 1.0, gap: float = 0.8, tolerance: float = 0.01) -> Drawn:
    """What the program makes of a drawing: SVG text -> marks -> pieces -> edges -> cuts."""
    pattern = read_pieces(read_drawing(svg(marks, size)), scale, Fitting(tolerance, 0.3, 0.8), None)
    edges = read_edges([piece.face for piece in pattern.pieces])
    return Drawn(pattern, edges, read_cuts(pattern.pieces, edges, gap))
