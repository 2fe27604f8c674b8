"""How a piece hangs, drawn: rings, what they hang by, the plumb line, the centre of mass, tilt and loads.

The piece is turned as it will hang. The customer's drawing has its sizes alone.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from catalog_builder.pattern.svg.curve import Points
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.publish.pictures.frame_drawing import frame_lines
from catalog_builder.publish.pictures.hardware_drawing import draw_hardware
from catalog_builder.publish.pictures.projection import FRONT, SIDE, ProjectedPart, View
from catalog_builder.publish.pictures.sketch import Place, Sketch
from catalog_builder.publish.pictures.svg_text import digits, path_of, path_of_line


@dataclass(frozen=True, slots=True, kw_only=True)
class HangingWords:
    """The words of a drawing, ready-made. Without ``loads``, one for each ring, it is the customer's.

    ``tilt`` and ``lean`` are empty where a piece hangs straight; ``legs`` says how a cord or chain pulls.
    """

    title: str
    description: str
    width: str
    height: str
    hung_height: str
    depth: str
    front: str
    side: str
    loads: tuple[str, ...] = ()
    legs: str = ""
    tilt: str = ""
    lean: str = ""


def hanging_svg(
    made_piece: MadePiece, suspension: Suspension, words: HangingWords, identity: str, *, seams: bool = True
) -> str:
    """Draw a piece as it hangs, from the front and, where parts stand out of it, from the side.

    Without ``seams`` only its rim and wires are drawn.
    """
    scale = max(suspension.turned_mm[0], suspension.hung_height_mm)
    sketch = Sketch(text_mm=max(3.0, scale / 24), line_mm=scale / 480)
    _view(sketch, made_piece, suspension, words, FRONT, seams=seams)
    if len(made_piece.flats) > 1:
        beside = Sketch(sketch.text_mm, sketch.line_mm)
        _view(beside, made_piece, suspension, words, SIDE, seams=seams)
        shift = sketch.most[0] - beside.least[0] + 3 * sketch.text_mm
        corners = [(edge[0] + shift, edge[1]) for edge in (beside.least, beside.most)]
        sketch.put(f'<g transform="translate({digits(shift)} 0)">{"".join(beside.marks)}</g>', *corners)
    return sketch.svg(words.title, words.description, identity)


def _view(
    sketch: Sketch,
    made_piece: MadePiece,
    suspension: Suspension,
    words: HangingWords,
    view: View,
    *,
    seams: bool,
) -> None:
    """Draw one view: the piece turned as it hangs, its hardware above it, its sizes beside it."""
    front = view is FRONT
    pivot = view.point((*(suspension.pivot if front else suspension.rings[0]), 0.0))
    centre = view.point((*suspension.body.centre, suspension.body.forward))
    # From the side a piece that tilts too is seen as if it did not.
    turn = suspension.tilt_degrees if front else math.degrees(math.atan2(centre[0] - pivot[0], centre[1] - pivot[1]))
    parts = view.project(made_piece)
    corners = _turned_box(np.concatenate([part.corners for part in parts]), pivot, turn)
    marks = "".join(flat_lines(part, sketch.line_mm, seams) for part in parts)
    spin = f' transform="rotate({digits(turn)} {digits(pivot[0])} {digits(pivot[1])})"' if round(turn, 2) else ""
    sketch.put(f"<g{spin}>{marks}</g>", *corners)
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    left, right, bottom = min(xs), max(xs), max(ys)
    rings = [_turned(view.point((*ring, 0.0)), pivot, turn) for ring in suspension.rings]
    top = draw_hardware(sketch, suspension, rings, front)
    if words.loads:
        _bench_marks(sketch, words, _Stand(tuple(rings), _turned(centre, pivot, turn), top, bottom, front))
    size = sketch.text_mm
    sketch.measure((left, bottom), (right, bottom), words.width if front else words.depth, 0.9 * size)
    if front:
        sketch.measure((right, min(ys)), (right, bottom), words.height, 0.9 * size)
        if words.hung_height != words.height:
            edge = right + 2.2 * size + 0.56 * size * len(words.height)
            sketch.measure((edge, min(top, *ys)), (edge, bottom), words.hung_height, 0.0)
    if len(made_piece.flats) > 1:
        sketch.text(words.front if front else words.side, ((left + right) / 2, bottom + 4.2 * size), "middle")


@dataclass(frozen=True, slots=True)
class _Stand:
    """Where a hanging piece's rings, centre of mass, top and lowest point are in a view."""

    rings: tuple[Place, ...]
    centre: Place
    top: float
    bottom: float
    front: bool


def _bench_marks(sketch: Sketch, words: HangingWords, stand: _Stand) -> None:
    """Draw the plumb line, the centre of mass on it, the load on each ring, and what tilts."""
    size, (x, y) = sketch.text_mm, stand.centre
    sketch.line([(x, stand.top), (x, stand.bottom + 0.5 * size)], 1.0, f"{digits(size)} {digits(size / 3)}")
    centre_mark(sketch, stand.centre, 0.5 * size)
    turn_words = words.tilt if stand.front else words.lean
    if turn_words:
        sketch.text(turn_words, (x + 0.8 * size, y - 0.4 * size))
    if not stand.front:
        return
    rings = stand.rings
    for ring, load in zip(rings, words.loads, strict=True):
        left = len(rings) == 2 and ring[0] == min(place[0] for place in rings)
        side = -1 if left else 1
        at = ring[0] + side * 1.4 * size
        sketch.arrow((at, ring[1] + 0.4 * size), (at, ring[1] - 1.8 * size))
        sketch.text(load, (at + side * 0.5 * size, ring[1] - 0.7 * size), "end" if left else "start")
    if words.legs:
        sketch.text(words.legs, ((rings[0][0] + rings[-1][0]) / 2, stand.top - 0.8 * size), "middle")


def centre_mark(sketch: Sketch, at: Place, radius: float) -> None:
    """Draw the usual mark of a centre of mass: a circle with two of its quarters filled."""
    (x, y), r = at, radius
    sketch.circle(at, r)
    for across, down in ((r, -r), (-r, r)):
        end = f"{digits(x + across)} {digits(y)}"
        quarter = f"M{digits(x)} {digits(y)}V{digits(y + down)}A{digits(r)} {digits(r)} 0 0 1 {end}Z"
        sketch.put(f'<path d="{quarter}" fill="currentColor" stroke="none"/>')


def flat_lines(part: ProjectedPart, line_mm: float, with_seams: bool) -> str:
    """Draw the lines of a flat as it is seen: the rim heavier than the seams."""
    edges = part.flat.edges
    wires = "".join(path_of_line(wire.line) for wire in part.flat.pattern.wires) + frame_lines(part.flat.frame)
    shift = f' transform="{part.transform}"' if part.transform else ""
    rim = f'<path d="{path_of(edges.rims)}{wires}" stroke-width="{digits(2.2 * line_mm, 3)}"/>'
    if not with_seams:
        return f"<g{shift}>{rim}</g>"
    seams = np.concatenate([edges.seams, part.flat.joined])
    return f'<g{shift}>{rim}<path d="{path_of(seams)}" stroke-width="{digits(line_mm, 3)}"/></g>'


def _turned_box(places: Points, pivot: Place, degrees: float) -> list[Place]:
    """Turn places of shape (n, 2) as ``_turned`` does, and give two corners of their box."""
    turn = math.radians(degrees)
    x, y = (places - np.asarray(pivot)).T
    across, down = (
        pivot[0] + x * math.cos(turn) - y * math.sin(turn),
        pivot[1] + x * math.sin(turn) + y * math.cos(turn),
    )
    return [(float(across.min()), float(down.min())), (float(across.max()), float(down.max()))]


def _turned(place: Place, pivot: Place, degrees: float) -> Place:
    """Turn a place clockwise as seen about a pivot."""
    turn = math.radians(degrees)
    x, y = place[0] - pivot[0], place[1] - pivot[1]
    return pivot[0] + x * math.cos(turn) - y * math.sin(turn), pivot[1] + x * math.sin(turn) + y * math.cos(turn)
