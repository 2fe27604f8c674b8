"""Glass laid on sheets: every piece once, clear of its neighbours, with its grain along the sheet's.

What is laid is checked here by its own transforms, not by the program's.
"""

from __future__ import annotations

import json
import math
from collections import Counter
from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import combinations

import pytest
from shapely import Polygon, affinity, box

from catalog_builder.making.cutting_list import BatchGlass, GlassPiece
from catalog_builder.making.glass_share import offcut_of, read_share, taken_mm2
from catalog_builder.making.sheet_layout import lay_batch
from catalog_builder.mistake import MistakeError
from catalog_builder.records.kept_layout import KeptLayout, LaidSheet, PieceKey, written
from catalog_builder.records.material import Material
from catalog_builder.records.stock import EMPTY, Offcut, Stock

CLEARANCE = 3.0
DAY = date(2031, 5, 20)
# None of them is its own mirror image, so that a piece turned over would not fit its outline.
HOOK = Polygon([(0, 0), (30, 0), (30, 12), (12, 18), (12, 50), (0, 50)])
WEDGE = Polygon([(0, 0), (40, 10), (26, 34), (0, 22)])
SLIP = Polygon([(0, 0), (14, 4), (18, 30), (3, 24)])


def glass(
    grain: bool, sheet: tuple[int, int] | None, pieces: dict[str, tuple[Polygon, int]], either_face: bool = False
) -> BatchGlass:
    """Pieces of one glass, each with its count, on sheets of some width and height."""
    keys: dict[str, object] = {"material": "reed", "title": "Reed", "kind": "glass", "pack_size": 1, "pack_unit": "m2"}
    if sheet is not None:
        keys |= {"sheet_width_mm": sheet[0], "sheet_height_mm": sheet[1]}
    material = Material.model_validate({**keys, "has_grain": grain, "either_face": either_face})
    return BatchGlass(
        material,
        tuple(
            GlassPiece(PieceKey("pane", "", "", number, False), shape, shape.area, count)
            for number, (shape, count) in pieces.items()
        ),
        Decimal(0),
    )


def laid_on(batch: BatchGlass, stock: Stock = EMPTY, seconds: int = 1) -> tuple[LaidSheet, ...]:
    """The sheets that a glass is laid on, each packed for a second or more."""
    layout = lay_batch([batch], stock, Decimal(CLEARANCE), seconds, DAY, lambda _: None)
    return layout.glasses[0].sheets


def outlines(batch: BatchGlass, sheet: LaidSheet) -> list[Polygon]:
    """Where the pieces of a sheet are: face down or not, turned by a matrix written out here, then moved."""
    by_key = {piece.key: piece.outline for piece in batch.pieces}
    shapes = []
    for piece in sheet.pieces:
        outline = by_key[piece.key]
        if piece.face_down:
            right = max(x for x, _ in outline.exterior.coords)
            outline = Polygon([(right - x, y) for x, y in outline.exterior.coords])
        cosine, sine = math.cos(math.radians(piece.turn)), math.sin(math.radians(piece.turn))
        shapes.append(affinity.affine_transform(outline, [cosine, -sine, sine, cosine, piece.x, piece.y]))
    return shapes


MANY = {"hook": (HOOK, 9), "wedge": (WEDGE, 8), "slip": (SLIP, 12)}


@pytest.fixture(
    scope="module",
    params=[(True, False), (False, False), (True, True), (False, True)],
    ids=["grain", "no grain", "grain, either face", "no grain, either face"],
)
def many(request: pytest.FixtureRequest) -> tuple[BatchGlass, tuple[LaidSheet, ...]]:
    """Twenty-nine pieces on sheets of 190 by 140 mm, of glass with and without grain, whose back will or won't do."""
    grain, either_face = request.param
    batch = glass(grain, (190, 140), MANY, either_face)
    return batch, laid_on(batch, seconds=2)


def test_every_piece_is_laid_once(many: tuple[BatchGlass, tuple[LaidSheet, ...]]) -> None:
    """Together the sheets hold what the batch cuts, no more and no less, and none of them is needless."""
    batch, sheets = many
    counted = Counter(piece.number for sheet in sheets for piece in sheet.pieces)
    assert counted == {name: count for name, (_, count) in MANY.items()}
    area = sum(shape.area * count for shape, count in MANY.values())
    # The pieces cover 0.97 of a sheet: two hold them easily, with the clearance, also on a busy machine.
    assert math.ceil(area / (190 * 140)) <= len(sheets) <= 2
    assert batch.count == 29


def test_pieces_keep_their_clearance(many: tuple[BatchGlass, tuple[LaidSheet, ...]]) -> None:
    """No two pieces are nearer than 3 mm, and none is nearer to an edge of its sheet or to the cut of the offcut."""
    batch, sheets = many
    for sheet in sheets:
        shapes = outlines(batch, sheet)
        assert min(piece.distance(other) for piece, other in combinations(shapes, 2)) >= CLEARANCE - 0.001
        used = box(0, 0, sheet.used_mm, sheet.height_mm)
        assert sheet.used_mm <= sheet.width_mm == 190
        assert min(used.exterior.distance(shape) for shape in shapes) >= CLEARANCE - 0.001
        assert all(used.contains(shape) for shape in shapes)


def test_only_glass_without_grain_is_turned_a_quarter(many: tuple[BatchGlass, tuple[LaidSheet, ...]]) -> None:
    """Pieces of glass with grain lie one way or end for end; without grain, quarter turns are allowed and used."""
    batch, sheets = many
    turns = {piece.turn for sheet in sheets for piece in sheet.pieces}
    assert turns <= ({0, 180} if batch.material.has_grain else {0, 90, 180, 270})
    assert len(turns) > 1


def test_a_piece_lies_face_down_only_where_it_may(many: tuple[BatchGlass, tuple[LaidSheet, ...]]) -> None:
    """Glass whose back will not do is never turned over."""
    batch, sheets = many
    downs = sum(piece.face_down for sheet in sheets for piece in sheet.pieces)
    assert batch.material.either_face or downs == 0


# A pane of 60 by 100 mm cut along a slanting line, and its right half turned over.
LEFT = Polygon([(0, 0), (20, 0), (50, 100), (0, 100)])
RIGHT_TURNED = Polygon([(0, 0), (40, 0), (10, 100), (0, 100)])


@pytest.mark.parametrize(("either_face", "sheets"), [(False, 2), (True, 1)])
def test_turning_a_piece_over_saves_a_sheet(either_face: bool, sheets: int) -> None:
    """The halves fill 60 mm only where one of them lies face down: with grain, no turn lays slant on slant."""
    laid = laid_on(glass(True, (72, 108), {"left": (LEFT, 1), "right": (RIGHT_TURNED, 1)}, either_face), seconds=2)
    assert len(laid) == sheets
    assert sum(piece.face_down for sheet in laid for piece in sheet.pieces) == (1 if either_face else 0)


@pytest.mark.parametrize(
    ("shape", "turns", "symmetric"),
    [
        (box(0, 0, 40, 25), (0.0,), True),
        (Polygon([(0, 0), (40, 0), (20, 30)]), (0.0,), True),
        # A parallelogram's mirror image leans the other way at every turn.
        (Polygon([(0, 0), (40, 0), (50, 30), (10, 30)]), (0.0, 90.0, 180.0, 270.0), False),
        # A kite that lies is its own image only end for end.
        (Polygon([(0, 10), (30, 0), (50, 10), (30, 20)]), (0.0,), False),
        (Polygon([(0, 10), (30, 0), (50, 10), (30, 20)]), (0.0, 180.0), True),
        (HOOK, (0.0, 90.0, 180.0, 270.0), False),
    ],
)
def test_what_is_its_own_mirror_image_is_known(shape: Polygon, turns: tuple[float, ...], symmetric: bool) -> None:
    """Turning over is left out where it gains nothing (facts of plane geometry)."""
    assert GlassPiece(PieceKey("pane", "", "", "1", False), shape, shape.area, 1).is_symmetric(turns) is symmetric


def test_offcuts_in_stock_are_laid_first() -> None:
    """An offcut that holds the batch spares a sheet; one too small for any piece stays in its drawer."""
    small, enough = Offcut(Decimal(20), Decimal(20)), Offcut(Decimal(90), Decimal(100))
    sheets = laid_on(glass(True, (300, 300), {"hook": (HOOK, 3)}), Stock({}, {"reed": (small, enough)}))
    assert [(sheet.offcut, sheet.width_mm, sheet.height_mm) for sheet in sheets] == [(True, 90, 100)]


def test_one_piece_takes_its_width_and_the_clearance() -> None:
    """A single hook of 30 mm is laid with 3 mm on either side, and the rest of the sheet is worth keeping."""
    (sheet,) = laid_on(glass(True, (300, 60), {"hook": (HOOK, 1)}))
    assert sheet.used_mm == pytest.approx(36, abs=0.6)
    kept = offcut_of(sheet, Decimal(60))
    assert kept is not None
    assert kept == pytest.approx((264, 60), abs=0.6)
    assert offcut_of(sheet, Decimal(61)) is None
    assert taken_mm2(sheet, Decimal(60)) == pytest.approx(36 * 60, abs=40)
    assert taken_mm2(sheet, Decimal(61)) == 300 * 60


def test_spares_are_laid_beside_the_rest() -> None:
    """A spare has room of its own, and it is marked as one."""
    batch = glass(True, (300, 120), {"hook": (HOOK, 3)})
    spared = replace(batch, pieces=tuple(replace(piece, spares=2) for piece in batch.pieces))
    (sheet,) = laid_on(spared)
    assert Counter(piece.spare for piece in sheet.pieces) == {False: 3, True: 2}


def test_a_layouts_share_is_split_by_area() -> None:
    """Glass charged = cut area x (sheet taken / all cut areas): what all variants are charged is what was taken."""
    batch = glass(True, (300, 120), {"hook": (HOOK, 3), "slip": (SLIP, 2)})
    layout = lay_batch([batch], EMPTY, Decimal(CLEARANCE), 1, DAY, lambda _: None)
    share = read_share("Batch", True, layout, [batch], Decimal(80))
    (sheet,) = layout.glasses[0].sheets
    net = 3 * HOOK.area + 2 * SLIP.area
    assert float(share.rates["reed"]) == pytest.approx(taken_mm2(sheet, Decimal(80)) / net, rel=1e-6)


@pytest.mark.parametrize(
    ("batch", "wrong"),
    [
        (glass(True, None, {"hook": (HOOK, 1)}), "the glass reed has no sheet size"),
        # With grain it cannot be turned: 50 mm upright do not fit into 40.
        (glass(True, (200, 40), {"hook": (HOOK, 1)}), "the piece hook of pane does not fit on a sheet of reed"),
        # It fits to the millimetre, but not with the clearance.
        (glass(True, (32, 52), {"hook": (HOOK, 1)}), "the piece hook of pane does not fit on a sheet of reed"),
        (glass(True, (300, 300), {"slip": (SLIP, 2_001)}), "the batch has 2001 pieces of reed"),
    ],
    ids=["no sheet", "grain", "clearance", "too many"],
)
def test_what_cannot_be_laid_is_told_before_anything_is(batch: BatchGlass, wrong: str) -> None:
    """A piece too large for its sheet ends in words, not in the packing library's panic."""
    with pytest.raises(MistakeError) as caught:
        laid_on(batch)
    assert caught.value.mistakes[0].wrong.startswith(wrong)


def test_without_grain_a_long_piece_is_turned_to_fit() -> None:
    """The same piece of 50 mm lies on a sheet 40 mm high once it may be turned."""
    (sheet,) = laid_on(glass(False, (200, 40), {"hook": (HOOK, 1)}))
    assert sheet.pieces[0].turn in (90, 270)


def test_a_kept_layout_reads_back_as_it_was() -> None:
    """What is kept is the layout itself, and the part and the mirror image of a piece with it."""
    layout = lay_batch([glass(True, (300, 120), {"hook": (HOOK, 2)})], EMPTY, Decimal(3), 1, DAY, lambda _: None)
    (laid,) = layout.glasses
    (sheet,) = laid.sheets
    marked = sheet.model_copy(
        update={
            "pieces": tuple(
                piece.model_copy(update={"part": "wing", "mirrored": True, "face_down": True}) for piece in sheet.pieces
            )
        }
    )
    changed = layout.model_copy(update={"glasses": (laid.model_copy(update={"sheets": (marked,)}),)})
    for piece in (layout, changed):
        assert KeptLayout.model_validate(json.loads(written(piece))) == piece
