"""Laying on sheets against an open instance of strip packing and the best that has been published on it.

Source: the instance `shirts` of the ESICUP data sets (CC0). Its best strip length, 59.39295 at a height of 40, is
that of the layout files behind Table 3 of Gardeyn, Vanden Berghe and Wauters, *An open-source heuristic to reboot 2D
nesting research* (arXiv 2509.13329); the density of 90.92 % was computed from it (S2: the table itself was not read).
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import combinations
from pathlib import Path

import pytest
import shapely
from shapely import Polygon, affinity

from catalog_builder.making.cutting_list import BatchGlass, GlassPiece
from catalog_builder.making.sheet_layout import lay_batch
from catalog_builder.records.kept_layout import LaidSheet, PieceKey
from catalog_builder.records.material import Material
from catalog_builder.records.stock import EMPTY

DATA = Path(__file__).parent / "data"
AREA, BEST_LENGTH, BEST_DENSITY = 2160, 59.39295, 0.9092
# The instance has no unit; so many mm to its one make the sheet a metre high.
SCALE = 25.0


def instance(name: str, scale: float) -> tuple[BatchGlass, float]:
    """An instance as glass with grain, so many mm to its one, and the height of its strip."""
    data = json.loads((DATA / f"strip_{name}.json").read_text(encoding="utf-8"))
    pieces = []
    for item in data["items"]:
        assert item["allowed_orientations"] == [0.0, 180.0]
        shape = affinity.scale(Polygon(item["shape"]["data"]), scale, scale, origin=(0, 0))
        left, top = shape.bounds[:2]
        key = PieceKey(name, "", "", str(item["id"]), False)
        pieces.append(GlassPiece(key, affinity.translate(shape, -left, -top), shape.area, item["demand"]))
    height = data["strip_height"] * scale
    keys = {"material": "cloth", "title": "Cloth", "kind": "glass", "pack_size": 1, "pack_unit": "sheet"}
    sheet = {"sheet_width_mm": 4000, "sheet_height_mm": int(height), "has_grain": True}
    return BatchGlass(Material.model_validate({**keys, **sheet}), tuple(pieces), Decimal(0)), height


def shirts() -> tuple[BatchGlass, float]:
    """The shirts, with a sheet about a metre high."""
    return instance("shirts", SCALE)


@pytest.fixture(scope="module")
def laid() -> LaidSheet:
    """The instance laid within a few seconds; the published layouts took many minutes."""
    layout = lay_batch([shirts()[0]], EMPTY, Decimal(0), 5, date(2031, 5, 20), lambda _: None)
    ((sheet,),) = (glass.sheets for glass in layout.glasses)
    return sheet


def test_the_instance_is_the_published_one() -> None:
    """Its 99 pieces cover 2160, and at the best length of 59.39295 by 40 that is 90.92 %."""
    glass, height = shirts()
    assert glass.count == 99
    assert glass.area_mm2 == pytest.approx(AREA * SCALE**2, rel=1e-12)
    assert AREA / (height / SCALE * BEST_LENGTH) == pytest.approx(BEST_DENSITY, abs=5e-5)


def test_a_short_packing_is_near_the_best_published(laid: LaidSheet) -> None:
    """A few seconds reach four fifths of the best density published, and cannot beat it without a fault."""
    density = AREA * SCALE**2 / (laid.used_mm * laid.height_mm)
    assert 0.8 <= density / BEST_DENSITY <= 1.0


def test_the_packing_is_sound(laid: LaidSheet) -> None:
    """Every piece lies on the strip, turned by 0 or 180 degrees, and no two share more than a hair of glass."""
    glass, _ = shirts()
    outlines = {piece.key: piece.outline for piece in glass.pieces}
    shapes = []
    for piece in laid.pieces:
        assert piece.turn in (0, 180)
        sign = 1 if piece.turn == 0 else -1
        shapes.append(affinity.affine_transform(outlines[piece.key], [sign, 0, 0, sign, piece.x, piece.y]))
    assert len(shapes) == 99
    left, top, right, bottom = shapely.total_bounds(shapes)
    assert min(left, top) >= 0
    assert right <= laid.used_mm
    assert bottom <= laid.height_mm
    assert max(one.intersection(other).area for one, other in combinations(shapes, 2)) == 0


def test_turning_pieces_over_loses_nothing() -> None:
    """On the instance albano both ways are within a few hundredths of each other: turning over gains little there."""
    # 24 pieces of 8 kinds, two of them not their own mirror image; the strip becomes 980 mm high.
    glass, height = instance("albano", 0.2)
    assert [piece.is_symmetric(glass.turns) for piece in glass.pieces] == [True] * 6 + [False] * 2
    widths = []
    for either_face in (False, True):
        material = glass.material.model_copy(
            update={"either_face": either_face, "sheet_height_mm": Decimal(str(height))}
        )
        layout = lay_batch([replace(glass, material=material)], EMPTY, Decimal(0), 4, date(2031, 5, 20), lambda _: None)
        ((sheet,),) = (laid.sheets for laid in layout.glasses)
        assert len(sheet.pieces) == 24
        widths.append(sheet.used_mm)
    assert widths[1] <= 1.1 * widths[0]
    assert min(widths) * height >= glass.area_mm2
