"""The cutting list: each cut of a batch counted, its grain along the sheet's, mirror images as cuts of their own."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from shapely import Polygon, affinity

from catalog_builder.making.cutting_list import batch_glass, cuts_of, fingerprint, net_areas
from catalog_builder.making.glass_share import offcut_of
from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.pattern.parts.placing import UPRIGHT
from catalog_builder.piece.made_piece import MadePiece, make_piece
from catalog_builder.records.batch_plan import Ordered
from catalog_builder.records.content import Content
from catalog_builder.records.kept_layout import LaidSheet, PlacedPiece
from tests.studio import Cells, content, makings, record

# A kite of two pieces, neither of which is its own mirror image.
KITE = """
<path d="M10 0 L90 20 L70 60 L0 40 Z" data-glass="left"/>
<line x1="10" y1="0" x2="70" y2="60"/>
<text x="20" y="35" data-glass="left">1</text>
<text x="70" y="30" data-glass="right">2</text>
<circle data-mark="ring" cx="10" cy="0" r="1"/>
"""


def kite(root: Path, grain: int = 30, reed: Cells | None = None) -> tuple[Content, MadePiece]:
    """A studio whose one product is a kite with its grain at an angle; ``reed`` are cells of its left glass."""
    tables = {"hanging": "safety_factor = 1"}
    records = content(root, record(KITE, keys=f"grain: {grain}"), tables, {"reed": reed or {}})
    return records, makings(records)[0]


def with_flat(records: Content, made: MadePiece, flat: FlatPart) -> MadePiece:
    """The same with another flat."""
    product = records.products[0]
    measured = replace(made.measured(), flats=(flat,))
    return make_piece(product, product.keys.glass["plain"], measured, records.materials, records.studio.making)


def ordered(records: Content, count: int) -> Ordered:
    """So many of the one product."""
    return Ordered(records.products[0], "", "bright", "plain", count)


def laid_upright(shape: Polygon, grain: float) -> Polygon:
    """Turn a shape so that a grain in degrees anticlockwise from horizontal stands upright, its box at nothing.

    With y downwards such a grain is the direction (cos, -sin); it is taken to (0, -1).
    """
    turn = math.radians(90 - grain)
    # Anticlockwise as seen, with y downwards.
    matrix = [math.cos(turn), math.sin(turn), -math.sin(turn), math.cos(turn), 0, 0]
    way = (math.cos(math.radians(grain)), -math.sin(math.radians(grain)))
    assert matrix[0] * way[0] + matrix[1] * way[1] == pytest.approx(0, abs=1e-12)
    assert matrix[2] * way[0] + matrix[3] * way[1] == pytest.approx(-1)
    turned = affinity.affine_transform(shape, matrix)
    left, top = turned.bounds[:2]
    return affinity.translate(turned, -left, -top)


@pytest.mark.parametrize("grain", [0, 30, 90, 150])
def test_the_grain_lies_along_the_sheets(tmp_path: Path, grain: int) -> None:
    """A piece is turned until its grain runs up the sheet, and never turned over."""
    records, made = kite(tmp_path, grain)
    for glass in batch_glass(records.materials.rows, [(ordered(records, 1), made)]):
        (piece,) = glass.pieces
        (cut,) = [cut for cut in made.cuts if cut.number == piece.key.number]
        assert piece.outline.symmetric_difference(laid_upright(cut.shape, grain)).area < 1e-6


def test_a_sheets_grain_may_run_across(tmp_path: Path) -> None:
    """Where the supplier's sheet has its streaks along its width, the piece lies a quarter turn from upright."""
    (tmp_path / "up").mkdir()
    up, across = kite(tmp_path / "up"), kite(tmp_path / "across", reed={"sheet_grain": "width"})
    sides = [
        batch_glass(records.materials.rows, [(ordered(records, 1), made)])[0].pieces[0].outline.bounds[2:]
        for records, made in (up, across)
    ]
    assert sides[0] == pytest.approx(sides[1][::-1])


def test_a_mirrored_part_is_a_cut_of_its_own(tmp_path: Path) -> None:
    """The two wings of a pair cannot be cut by one outline: glass has a face, and its grain is mirrored too."""
    records, made = kite(tmp_path)
    pair = replace(made.main, places=(UPRIGHT, replace(UPRIGHT, mirrored=True), replace(UPRIGHT, mirrored=True)))
    cuts = {(cut.number, cut.mirrored): cut for cut in cuts_of(with_flat(records, made, pair))}
    assert {key: cut.count for key, cut in cuts.items()} == {
        ("1", False): 1,
        ("2", False): 1,
        ("1", True): 2,
        ("2", True): 2,
    }
    plain, mirrored = cuts["1", False], cuts["1", True]
    image = affinity.affine_transform(plain.shape, [-1, 0, 0, 1, 0, 0])
    assert mirrored.shape.symmetric_difference(image).area < 1e-9
    assert (plain.grain, mirrored.grain) == (30, 150)


def test_all_cuts_of_an_item_are_counted(tmp_path: Path) -> None:
    """The area of an item's cuts is that of all its pieces of glass, each copy of a part for itself."""
    records, made = kite(tmp_path)
    thrice = with_flat(records, made, replace(made.main, places=(UPRIGHT,) * 3))
    areas = net_areas(thrice, records.products[0].keys.glass["plain"].pieces)
    assert float(sum(areas.values())) == pytest.approx(sum(cut.area_mm2 for cut in thrice.cuts) / 10_000, abs=2e-6)


def test_counts_add_up_over_finishes(tmp_path: Path) -> None:
    """The same cut in two rows of a plan is one cut, as often as both say."""
    records, made = kite(tmp_path)
    twice = [(ordered(records, 3), made), (ordered(records, 4), made)]
    assert [piece.count for glass in batch_glass(records.materials.rows, twice) for piece in glass.pieces] == [7, 7]


def test_noise_of_the_last_digits_leaves_the_fingerprint(tmp_path: Path) -> None:
    """Two machines may differ by a billionth of a millimetre or begin an outline elsewhere; a tenth is a new piece."""
    records, made = kite(tmp_path)
    clearance = records.studio.making.cutting_clearance_mm

    def seal(nudge: float, first: int) -> str:
        glasses = batch_glass(records.materials.rows, [(ordered(records, 1), made)])
        moved = []
        for glass in glasses:
            (piece,) = glass.pieces
            ring = list(piece.outline.exterior.coords)[:-1]
            ring = [(x + nudge * index, y) for index, (x, y) in enumerate(ring[first:] + ring[:first])]
            moved.append(replace(glass, pieces=(replace(piece, outline=Polygon(ring)),)))
        return fingerprint(moved, clearance)

    assert seal(1e-9, 1) == seal(0.0, 0)
    assert seal(0.1, 0) != seal(0.0, 0)
    assert fingerprint(batch_glass(records.materials.rows, [(ordered(records, 2), made)]), clearance) != seal(0.0, 0)


def test_the_largest_piece_is_spared_first(tmp_path: Path) -> None:
    """Of two pieces of 1500 and 1800 mm2 0.6 are likely to crack: the one spare is as large as the larger of them."""
    text = record(KITE, glass="{left: reed, right: reed}")
    records = content(tmp_path, text, {"hanging": "safety_factor = 1"}, {"reed": {"loss_percent": "30"}})
    (glass,) = batch_glass(records.materials.rows, [(ordered(records, 1), makings(records)[0])])
    assert {piece.key.number: piece.spares for piece in glass.pieces} == {"1": 0, "2": 1}


@pytest.mark.parametrize(("least", "offcut"), [("100", (100, 130)), ("100.001", None)])
def test_a_rest_of_just_the_least_size_is_kept(least: str, offcut: tuple[float, float] | None) -> None:
    """Of a sheet of 200 mm of which 100 are used, 100 are left: enough where an offcut is at least as wide."""
    piece = PlacedPiece(product="pane", size="", number="1", turn=0, x=3, y=3)
    sheet = LaidSheet(offcut=False, width_mm=200, height_mm=130, used_mm=100, pieces=(piece,))
    assert offcut_of(sheet, Decimal(least)) == offcut
