"""Standing forms set up by hand: their faces in space, the edges where these meet, and what they stand on.

Places are mm to the right, to the back and up. svgelements, a general library, reads the paths of the demo's drawings,
and shapely makes faces of their lines; nothing of the program is used. Dihedral angles are those of geometry: of the
pyramid, half an octahedron, arctan sqrt 2 at its base and arccos -1/3 between its sides; of the hood 120 degrees under
its top, and between its sides, whose normals are (cos 30, 0, sin 30) and (0, cos 30, sin 30), 180 - arccos 1/4.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
import shapely
import svgelements
from numpy.typing import NDArray
from shapely import LineString, Polygon

PRODUCTS = Path(__file__).parents[2] / "content" / "products"
# Line ends of the drawings that miss another line by less than this are led on to it.
MISSED_MM = 0.6
# What an end that was led on closes with the line that it meets at a low angle.
SPECK_MM2 = 0.1
Points = NDArray[np.float64]
Corner = tuple[float, float, float]


@dataclass(frozen=True)
class Sheet:
    """A drawing: its faces with their words, and the lines between two of them."""

    faces: tuple[tuple[Polygon, str], ...]
    seams: tuple[LineString, ...]


@dataclass(frozen=True)
class Placed:
    """A sheet where it stands: the place of its origin, and the ways of its x and its y, each of shape (3,)."""

    sheet: Sheet
    origin: Points
    across: Points
    down: Points

    def at(self, x: float, y: float) -> Points:
        """A place of the drawing in space."""
        return np.asarray(self.origin + x * self.across + y * self.down)

    @property
    def pose(self) -> Points:
        """The matrix that puts the drawing's plane there, of shape (4, 4)."""
        made = np.eye(4)
        made[:3, :3] = np.stack([self.across, self.down, np.cross(self.across, self.down)], axis=1)
        made[:3, 3] = self.origin
        return made


@dataclass(frozen=True)
class Form:
    """A form: its sheets in space, its corners with the angles between their faces, its rims and its tubes.

    ``footprint`` has the corners of what it stands on, to the right and to the back.
    """

    placed: tuple[Placed, ...]
    corners: tuple[tuple[Points, Points, tuple[float, float]], ...]
    rims: tuple[tuple[Points, Points], ...]
    footprint: Polygon
    tubes: tuple[tuple[Points, Points, str], ...] = ()


def flattened(path: str) -> LineString:
    """The line of a path, 200 points to each curve."""
    points: list[tuple[float, float]] = []
    read: Any = svgelements.Path(path)
    for segment in read:
        if not isinstance(segment, svgelements.Move):
            steps = 2 if isinstance(segment, svgelements.Line | svgelements.Close) else 200
            points.extend((point.x, point.y) for point in map(segment.point, np.linspace(0, 1, steps)))
    return LineString(points)


def led_on(line: LineString, others: shapely.Geometry) -> LineString:
    """A line whose ends are led on to other lines that they nearly meet, and a hair further."""
    points = shapely.get_coordinates(line).tolist()
    for place, index in ((0, 0), (len(points), -1)):
        near = shapely.shortest_line(shapely.Point(points[index]), others)
        if 0 < near.length < MISSED_MM:
            (x, y), (u, v) = near.coords
            points.insert(place, (u + 0.02 * (u - x), v + 0.02 * (v - y)))
    return LineString(points)


def read_sheet(drawing: str) -> Sheet:
    """Read a drawing of bare lines whose unit is 1 mm: faces are what lines close, words stand in them."""
    lines = [flattened(path) for path in re.findall(r'<path d="([^"]*)"', drawing)]
    if len(lines) > 1:
        lines = [led_on(line, shapely.union_all([*lines[:at], *lines[at + 1 :]])) for at, line in enumerate(lines)]
    net = shapely.union_all(lines)
    labels = re.findall(r'<text x="([\d.]+)" y="([\d.]+)" data-glass="(\w+)"', drawing)
    faces = []
    for face in shapely.get_parts(shapely.polygonize(shapely.get_parts(net))):
        if face.area < SPECK_MM2:
            continue
        (word,) = {word for x, y, word in labels if face.contains(shapely.Point(float(x), float(y)))}
        faces.append((face, word))
    assert len(faces) == len(labels)
    shapes = [face for face, _ in faces]
    seams = [
        part
        for at, face in enumerate(shapes)
        for other in shapes[at + 1 :]
        for part in shapely.get_parts(shapely.line_merge(face.exterior.intersection(other.exterior)))
        if part.length
    ]
    return Sheet(tuple(faces), tuple(seams))


def sheets_of(slug: str) -> dict[str, Sheet]:
    """The drawings of a demo record by their parts' names; the main one has none."""
    text = (PRODUCTS / slug / "product.md").read_text(encoding="utf-8")
    return {name.strip(): read_sheet(drawing) for name, drawing in re.findall(r"```svg( ?\w*)\n(.*?)```", text, re.S)}


def vector(*values: float) -> Points:
    """A place or way in space."""
    return np.array(values, dtype=float)


def walls(width: float, depth: float, high: float, sheets: Sequence[Sheet]) -> tuple[Placed, ...]:
    """Four walls round a floor of a width and depth, seen from outside as drawn: front, right, back, left."""
    low = vector(0, 0, -1)
    starts = (vector(0, -depth, high), vector(width, -depth, high), vector(width, 0, high), vector(0, 0, high))
    ways = (vector(1, 0, 0), vector(0, 1, 0), vector(-1, 0, 0), vector(0, -1, 0))
    return tuple(Placed(sheet, start, way, low) for sheet, start, way in zip(sheets, starts, ways, strict=True))


def ring_at(corners: Sequence[Points]) -> Iterator[tuple[Points, Points]]:
    """The edges between corners, right round."""
    yield from zip(corners, [*corners[1:], corners[0]], strict=True)


def prism(width: float, depth: float, high: float, sheets: Sequence[Sheet], tops: slice, inset: float = 0.0) -> Form:
    """A floor with four walls; ``tops`` are the walls whose tops are rims, the front first."""
    floor, *sides = sheets
    base = [vector(0, -depth, 0), vector(width, -depth, 0), vector(width, 0, 0), vector(0, 0, 0)]
    top = [corner + vector(0, 0, high) for corner in base]
    square = (90.0, 270.0)
    return Form(
        (Placed(floor, vector(0, 0, 0), vector(1, 0, 0), vector(0, -1, 0)), *walls(width, depth, high, sides)),
        tuple((low, up, square) for low, up in (*ring_at(base), *zip(base, top, strict=True))),
        tuple(ring_at(top))[tops],
        shapely.box(inset, inset - depth, width - inset, -inset),
    )


def lamp() -> Form:
    """The demo's lamp: 84 mm square, 110 mm high, open above, on round feet of 10 mm in its corners."""
    sheets = sheets_of("reedbed-lamp")
    return prism(84, 84, 110, [sheets[""], *[sheets["wall"]] * 4], slice(None), 5)


def sea_star_box() -> Form:
    """The demo's box: 120 x 84 x 42 mm, its lid at 130 degrees to the back, on a tube along its edge."""
    sheets = sheets_of("sea-star-box")
    made = prism(120, 84, 42, [sheets[name] for name in ("", "front", "end", "back", "end")], slice(None))
    turn = math.radians(130)
    lid = Placed(sheets["lid"], vector(0, 0, 42), vector(1, 0, 0), vector(0, -math.sin(turn), -math.cos(turn)))
    hinge = lid.at(0, 0), lid.at(120, 0)
    edges = tuple(ring_at([lid.at(0, 0), lid.at(120, 0), lid.at(120, 84), lid.at(0, 84)]))
    return replace(
        made,
        placed=(*made.placed, lid),
        corners=(*made.corners, (*hinge, (130.0, 230.0))),
        # The back's top, the third, is the hinge, and so is the lid's first edge.
        rims=(*made.rims[:2], made.rims[3], *edges[1:]),
        tubes=((*hinge, "tube-brass-3"),),
    )


def flat_sheet(corners: Sequence[tuple[float, float]]) -> Sheet:
    """A drawing of one face."""
    return Sheet(((Polygon(corners), "left"),), ())


def polyhedron(
    faces: Sequence[Sequence[Corner]],
    corners: Sequence[tuple[Corner, Corner, float]],
    rims: Sequence[tuple[Corner, Corner]],
    footprint: Polygon,
) -> Form:
    """A form of flat faces by their corners in space, its corners with their inside angles, and its rims."""
    placed = []
    for face in faces:
        places = np.array(face)
        across = (places[1] - places[0]) / np.linalg.norm(places[1] - places[0])
        out = np.cross(across, places[2] - places[0])
        down = np.cross(out / np.linalg.norm(out), across)
        plane = [(float((place - places[0]) @ across), float((place - places[0]) @ down)) for place in places]
        placed.append(Placed(flat_sheet(plane), places[0], across, down))
    return Form(
        tuple(placed),
        tuple((vector(*low), vector(*high), (angle, 360 - angle)) for low, high, angle in corners),
        tuple((vector(*low), vector(*high)) for low, high in rims),
        footprint,
    )


BASE = [(-30.0, -30.0, 0.0), (30.0, -30.0, 0.0), (30.0, 30.0, 0.0), (-30.0, 30.0, 0.0)]
APEX = (0.0, 0.0, 60 / math.sqrt(2))
ROUND = [(0, 1), (1, 2), (2, 3), (3, 0)]
SLOPE = math.degrees(math.atan(math.sqrt(2)))


def pyramid() -> Form:
    """A closed pyramid with edges of 60 mm, as a lantern stands on its floor."""
    return polyhedron(
        [BASE, *([BASE[a], BASE[b], APEX] for a, b in ROUND)],
        [
            *((BASE[a], BASE[b], SLOPE) for a, b in ROUND),
            *((corner, APEX, math.degrees(math.acos(-1 / 3))) for corner in BASE),
        ],
        [],
        shapely.box(-30, -30, 30, 30),
    )


DROP = 60 * math.sin(math.radians(60))
UPPER = [(-20.0, -20.0, 0.0), (20.0, -20.0, 0.0), (20.0, 20.0, 0.0), (-20.0, 20.0, 0.0)]
LOWER = [(-50.0, -50.0, -DROP), (50.0, -50.0, -DROP), (50.0, 50.0, -DROP), (-50.0, 50.0, -DROP)]


def hood() -> Form:
    """A pyramid cut off at a top of 40 mm and open below: sides of 60 mm that flare out to 100 mm."""
    between = 180 - math.degrees(math.acos(1 / 4))
    return polyhedron(
        [UPPER, *([LOWER[a], LOWER[b], UPPER[b], UPPER[a]] for a, b in ROUND)],
        [
            *((UPPER[a], UPPER[b], 120.0) for a, b in ROUND),
            *((low, high, between) for low, high in zip(LOWER, UPPER, strict=True)),
        ],
        [(LOWER[a], LOWER[b]) for a, b in ROUND],
        shapely.box(-50, -50, 50, 50),
    )
