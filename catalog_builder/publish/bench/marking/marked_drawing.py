"""A product's drawings as the marking page shows them: each field with what is marked in it, kept from build to build.

Lengths are mm at the finished size of the first size, y downwards; what a record holds is in the drawing's own units.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from shapely import Point, Polygon, STRtree, get_coordinates

from catalog_builder.cache.store import Store
from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.pattern.pieces import Pattern
from catalog_builder.piece.assembly import AssembledPiece, Assembler
from catalog_builder.piece.hanging.proposal import RingProposals
from catalog_builder.publish.pictures.svg_text import digits, path_of_area, path_of_line, view_box
from catalog_builder.publish.sheets.piece_mark import Lettered, letter
from catalog_builder.records.keeping.mark_keeping import plain_marks
from catalog_builder.records.product import Product

# Two places nearer than this are one.
_SAME_MM = 0.2
# White round the pattern, as a share of its longer side.
_MARGIN = 0.05


def kept_drawings(product: Product, piece: AssembledPiece, assembler: Assembler, store: Store) -> str:
    """Give what the page's script reads of all drawings as JSON, from the store where it has been made before."""

    def make() -> bytes:
        drawings = [_drawing(product, flat) for flat in piece.made.flats]
        drawings[0]["proposals"] = [*_proposals(assembler.ring_proposals(product, piece.made))]
        return json.dumps(drawings, ensure_ascii=False).encode()

    return store.kept("marking", piece.own_key, make).decode()


def _proposals(proposals: RingProposals) -> Iterator[dict[str, Any]]:
    """Give places for rings, with the hardware that they need where the record hangs the product by another kind."""
    for proposal in proposals.all:
        yield {
            "kind": "wire" if proposal.on_wire else "pair" if len(proposal.places) == 2 else "seam",
            "tilt": abs(proposal.tilt_degrees),
            "rings": proposal.places,
            "wires": proposal.keys.wires,
            "by": str(proposal.by),
        }


def _drawing(product: Product, flat: FlatPart) -> dict[str, Any]:
    """Describe a drawing for the page: its fields, places to snap to, and the marks that its record has of its own."""
    pattern, part = flat.pattern, flat.name
    own = plain_marks(product.keys.parts[part].marks if part else product.keys.marks)
    faces = [*(piece.face for piece in pattern.pieces), *pattern.open_fields]
    letters = [letter(piece.number, piece.face) for piece in pattern.pieces]
    letters += [letter("0", field) for field in pattern.open_fields]
    twins = _twins(faces, letters, pattern)
    fields = [_field(pattern, index, letters[index], twins[index]) for index in range(len(faces))]
    places = [Point(_in_mm(piece["at"], pattern.scale)) for piece in own.get("pieces", ())]
    for key, points in (
        ("entry", places),
        ("opened", [Point(_in_mm(at, pattern.scale)) for at in own.get("open", ())]),
    ):
        for number, index in enumerate(_holding(faces, points)):
            if index is not None:
                fields[index][key] = number
    left, top, right, bottom = flat.box
    reach = [(left, top), (right, bottom), *((ring.x, ring.y) for ring in pattern.rings)]
    reach += [place for wire in pattern.wires for place in get_coordinates(wire.line).tolist()]
    margin = _MARGIN * max(right - left, bottom - top)
    across, down = zip(*reach, strict=True)
    return {
        "part": part,
        "scale": pattern.scale,
        "decimals": max(0, round(2 + math.log10(pattern.scale))),
        "box": view_box(min(across) - margin, min(down) - margin, max(across) + margin, max(down) + margin),
        "side": max(right - left, bottom - top),
        "fold": _fold(pattern),
        "fields": fields,
        "rings": [_place((ring.x, ring.y)) for ring in pattern.rings],
        "wires": [path_of_line(wire.line) for wire in pattern.wires if wire.row >= 0],
        "spots": [*_spots(flat)],
        "own": _numbers(own),
        "proposals": [],
    }


def _field(pattern: Pattern, index: int, place: Lettered, twin: int | None) -> dict[str, Any]:
    """Describe a field: a piece of glass, or after these one that is open."""
    at = (place.x, place.y)
    fold = pattern.fold
    on_drawn_side = fold is None or float(fold.side(np.array([at]))[0]) * pattern.drawn_side >= 0
    drawn = twin in (None, index) or on_drawn_side
    is_open = index >= len(pattern.pieces)
    face = pattern.open_fields[index - len(pattern.pieces)] if is_open else pattern.pieces[index].face
    number, glass, grain = "", None, None
    if not is_open:
        piece = pattern.pieces[index]
        number = piece.number[:-1] if twin not in (None, index) else piece.number
        glass, grain = piece.glass, None if piece.grain is None else round(piece.grain, 1)
    return {
        "path": path_of_area(face),
        "at": _place(at),
        "size": round(place.size, 2),
        "number": number,
        "side": "" if is_open or twin in (None, index) else pattern.pieces[index].number[-1],
        "glass": glass,
        "grain": grain,
        "open": is_open,
        "twin": None if twin == index else twin,
        "drawn": drawn,
        "entry": None,
        "opened": None,
    }


def _twins(faces: Sequence[Polygon], letters: Sequence[Lettered], pattern: Pattern) -> list[int | None]:
    """Give for each field the one across the fold, itself where the fold runs through it; None without a fold."""
    if pattern.fold is None:
        return [None] * len(faces)
    images = pattern.fold.mirrored(np.array([(place.x, place.y) for place in letters]))
    across = _holding(faces, [Point(image) for image in images])
    return [other if other is not None and across[other] == index else None for index, other in enumerate(across)]


def _holding(faces: Sequence[Polygon], points: Sequence[Point]) -> list[int | None]:
    """Give for each point the field that it lies in."""
    tree = STRtree(faces)
    return [next(iter(tree.query(point, predicate="within").tolist()), None) for point in points]


def _fold(pattern: Pattern) -> list[float] | None:
    if pattern.fold is None:
        return None
    return [float(digits(value, 4)) for value in (*pattern.fold.at.tolist(), *pattern.fold.along.tolist())]


def _spots(flat: FlatPart) -> Iterator[list[Any]]:
    """Give places to snap to: where seams meet each other or the rim, and the ends and tops of wires."""
    taken: set[tuple[int, int]] = set()
    wires = [get_coordinates(wire.line) for wire in flat.pattern.wires]
    wire_ends = [point for line in wires for point in (line[0], line[-1], line[int(line[:, 1].argmin())])]
    for kind, points in (("rim", flat.edges.seam_ends), ("wire", wire_ends), ("seam", flat.edges.joints)):
        for x, y in np.asarray(points, dtype=float).reshape(-1, 2).tolist():
            cell = round(x / _SAME_MM), round(y / _SAME_MM)
            if cell not in taken:
                taken.add(cell)
                yield [*_place((x, y)), kind]


def _place(at: tuple[float, float]) -> list[float]:
    return [float(digits(value)) for value in at]


def _in_mm(at: Sequence[Any], scale: float) -> tuple[float, float]:
    return float(at[0]) * scale, float(at[1]) * scale


def _numbers(value: Any) -> Any:
    """Give plain values with numbers as JSON has them."""
    if isinstance(value, dict):
        return {key: _numbers(part) for key, part in value.items()}
    if isinstance(value, list):
        return [_numbers(part) for part in value]
    return value if isinstance(value, str | int) else float(value)
