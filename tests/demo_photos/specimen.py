"""Specimens: forms of the trade built here from plain shapes, to try the settings on without a record.

A lantern, a box with its lid ajar, a panel with bevels and nuggets in a frame, and a stake.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

import numpy as np
import shapely
from shapely import Polygon

from catalog_builder.pattern.cuts import read_cuts
from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.pattern.parts.placing import UPRIGHT, Placing
from catalog_builder.pattern.pieces import Pattern, Piece
from catalog_builder.pattern.seams import read_edges
from catalog_builder.records.material import Material
from tests.demo_photos.holding import Border, Held
from tests.demo_photos.subject import Subject

Part = tuple[str, Polygon]


def glass(colour: str, look: str, **more: object) -> Material:
    """Give a glass of a colour (#rrggbb) and look, as a row of ``materials.csv`` would."""
    row = {"material": f"glass-{colour[1:]}-{look}", "title": look, "kind": "glass", "supplier": "none"}
    size = {"pack_size": Decimal(1), "pack_unit": "sheet", "sheet_width_mm": 305, "sheet_height_mm": 305}
    return Material.model_validate({**row, **size, "thickness_mm": 3, "colour": colour, "look": look, **more})


def flat_part(name: str, pieces: Sequence[Part], places: Sequence[Placing]) -> FlatPart:
    """Make a flat of pieces, each a glass word with its face (mm, y downwards), in places."""
    made = tuple(Piece(str(index + 1), face, word, None) for index, (word, face) in enumerate(pieces))
    edges = read_edges([piece.face for piece in made])
    pattern = Pattern(made, (), (), None, (), 1.0)
    rims = tuple(edges.rims for _ in places)
    return FlatPart(name, pattern, edges, read_cuts(made, edges, 0.8), tuple(places), rims, np.empty((0, 2, 2)))


def subject(
    slug: str,
    finish: str,
    flats: Sequence[FlatPart],
    sheets: Mapping[str, Material],
    held: Held,
    border: Border | None = None,
) -> Subject:
    """Gather a subject."""
    return Subject(slug, finish, tuple(flats), sheets, 5.56, {"": 1.02}, held, border)


def sides(width: float, count: int = 4) -> tuple[Placing, ...]:
    """Stand a drawing that runs from x = 0 to ``width`` on every side of a regular base round the middle."""
    inner = width / 2 / np.tan(np.pi / count)
    places = []
    for index in range(count):
        turn = 2 * np.pi * index / count
        across = np.array([np.cos(turn), 0.0, -np.sin(turn)])
        out = np.array([np.sin(turn), 0.0, np.cos(turn)])
        places.append(Placing(out * inner - across * width / 2, across, np.array([0.0, 1.0, 0.0])))
    return tuple(places)


def lantern() -> Subject:
    """Make a square lantern for a tealight: on each side a hill, its sky and a moon; open above, with a floor."""
    wide, high = 84.0, 112.0
    pane = shapely.box(0, 0, wide, high)
    ridge = Polygon([(0, 72), (22, 60), (40, 66), (62, 52), (wide, 64), (wide, high), (0, high)])
    near = Polygon([(0, 92), (30, 84), (56, 92), (wide, 86), (wide, high), (0, high)])
    moon = shapely.Point(56, 30).buffer(13)
    sky = pane.difference(ridge)
    left, right = sky.intersection(shapely.box(0, 0, 56, high)), sky.intersection(shapely.box(56, 0, wide, high))
    faces = _fitted([("far", ridge.difference(near)), ("near", near), ("moon", moon), ("sky", left), ("sky", right)])
    floor = Placing(np.array([-wide / 2, high, -wide / 2]), np.array([1.0, 0, 0]), np.array([0, 0, 1.0]))
    flats = [
        flat_part("", faces, sides(wide)),
        flat_part("floor", [("floor", shapely.box(0, 0, wide, wide))], [floor]),
    ]
    sheets = {
        "far": glass("#6a569c", "streaky"),
        "near": glass("#2f5d34", "clear"),
        "moon": glass("#f2e6cb", "opal"),
        "sky": glass("#e2b872", "wispy"),
        "floor": glass("#dbeaf0", "rippled"),
    }
    return subject("specimen-lantern", "black", flats, sheets, Held("stand", lit=True))


def box() -> Subject:
    """Make a low box with its lid ajar, hinged at the back."""
    wide, deep, high = 110.0, 80.0, 44.0
    right, down, front = np.eye(3)
    long_sides = [
        Placing(-right * wide / 2 + front * deep / 2, right, down),
        Placing(right * wide / 2 - front * deep / 2, -right, down),
    ]
    ends = [
        Placing(right * wide / 2 + front * deep / 2, -front, down),
        Placing(-right * wide / 2 - front * deep / 2, front, down),
    ]
    floor = Placing(down * high - right * wide / 2 - front * deep / 2, right, front)
    turn = np.radians(38)
    lid = Placing(-right * wide / 2 - front * deep / 2, right, np.cos(turn) * front - np.sin(turn) * down)
    thirds = [
        ("band", shapely.box(0, 0, 36, deep)),
        ("heart", shapely.box(36, 0, 74, deep)),
        ("band", shapely.box(74, 0, wide, deep)),
    ]
    flats = [
        flat_part("", [("side", shapely.box(0, 0, wide, high))], long_sides),
        flat_part("end", [("side", shapely.box(0, 0, deep, high))], ends),
        flat_part("floor", [("floor", shapely.box(0, 0, wide, deep))], [floor]),
        flat_part("lid", thirds, [lid]),
    ]
    sheets = {
        "side": glass("#3f8f86", "streaky"),
        "floor": glass("#dbeaf0", "clear"),
        "band": glass("#e9efe9", "wispy"),
        "heart": glass("#dc9a2a", "hammered"),
    }
    return subject("specimen-box", "copper", flats, sheets, Held("stand"))


def panel() -> Subject:
    """Make a panel of four bevels round a square, with nuggets in its corners, in an oak frame."""
    side = 150.0
    heart = shapely.box(50, 50, 100, 100)
    spots = [shapely.Point(x, y).buffer(13) for x in (25, 125) for y in (25, 125)]
    strips = [
        shapely.box(50, 0, 100, 50),
        shapely.box(50, 100, 100, 150),
        shapely.box(0, 50, 50, 100),
        shapely.box(100, 50, 150, 100),
    ]
    corners = [shapely.box(x, y, x + 50, y + 50) for x in (0, 100) for y in (0, 100)]
    fields = []
    for corner, spot in zip(corners, spots, strict=True):
        middle = spot.centroid.x
        left, right = shapely.box(-1, -1, middle, side + 1), shapely.box(middle, -1, side + 1, side + 1)
        fields += [("field", corner.difference(spot).intersection(half)) for half in (left, right)]
    faces = [*fields, *(("nugget", spot) for spot in spots), *(("bevel", strip) for strip in strips), ("heart", heart)]
    sheets = {
        "field": glass("#3f8f86", "streaky"),
        "nugget": glass("#dc9a2a", "clear", thickness_mm=8, section="domed", edge_mm=3, pack_unit="each"),
        "bevel": glass(
            "#f4f8f8", "clear", thickness_mm=5, section="bevelled", edge_mm=3, bevel_mm=12, pack_unit="each"
        ),
        "heart": glass("#b3202f", "clear"),
    }
    held = Held("chain", ((20.0, -12.0), (side - 20.0, -12.0)), 5.0, 300.0)
    return subject(
        "specimen-panel", "black", [flat_part("", _fitted(faces), [UPRIGHT])], sheets, held, Border("wood", 20, 16, 5)
    )


def stake() -> Subject:
    """Make a mushroom of three pieces on a rod."""
    cap = shapely.Point(40, 40).buffer(36).intersection(shapely.box(0, 0, 80, 40))
    stem = Polygon([(32, 40), (48, 40), (52, 84), (28, 84)])
    gill = Polygon([(14, 40), (66, 40), (56, 50), (24, 50)])
    faces = _fitted([("cap", cap), ("gill", gill), ("stem", stem.difference(gill))])
    sheets = {"cap": glass("#b3202f", "clear"), "gill": glass("#e2b872", "wispy"), "stem": glass("#f2e6cb", "opal")}
    held = Held("stake", earth_mm=134.0, rod=((40.0, 60.0), (40.0, 190.0)), rod_mm=2.6)
    return subject("specimen-stake", "copper", [flat_part("", faces, [UPRIGHT])], sheets, held)


def _fitted(parts: Sequence[Part]) -> list[Part]:
    """Give the parts with the same points on both sides of every shared edge."""
    lines = shapely.union_all([part.exterior for _, part in parts], grid_size=0.02)
    faces = list(shapely.get_parts(shapely.polygonize(shapely.get_parts(lines))))
    fitted = []
    for face in faces:
        inside = face.representative_point()
        for word, part in parts:
            if part.contains(inside):
                fitted.append((word, face))
                break
    return fitted


SPECIMENS = {"specimen-lantern": lantern, "specimen-box": box, "specimen-panel": panel, "specimen-stake": stake}
