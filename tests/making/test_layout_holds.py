"""A kept layout that could not be cut is not charged by: pieces too near, over an edge, too few, or turned wrongly.

The layouts are laid by hand: two pieces of 30 x 20 mm on a sheet of 100 x 60 mm, 3 mm clear of each other and of
every edge.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from shapely import box

from catalog_builder.making.cutting_list import BatchGlass, GlassPiece
from catalog_builder.making.sheet_layout import is_valid
from catalog_builder.records.kept_layout import KeptLayout, LaidGlass, LaidSheet, PieceKey, PlacedPiece
from catalog_builder.records.material import Material

CLEARANCE = Decimal(3)
SHEET = {"sheet_width_mm": "100", "sheet_height_mm": "60"}


def glass(grain: bool = True, spares: int = 0) -> BatchGlass:
    """A glass of which two pieces are cut, and so many more to spare."""
    cells = {"material": "reed", "title": "Reed", "kind": "glass", "pack_size": "1", "pack_unit": "m2", **SHEET}
    piece = GlassPiece(PieceKey("pane", "", "", "1", False), box(0, 0, 30, 20), 600.0, 2 - spares, spares)
    return BatchGlass(Material.model_validate({**cells, "has_grain": grain}), (piece,), Decimal(0))


def placed(x: float, y: float = 3.0, turn: float = 0.0, spare: bool = False) -> PlacedPiece:
    """The piece at a place."""
    return PlacedPiece(product="pane", size="", number="1", turn=turn, x=x, y=y, spare=spare)


def layout(*pieces: PlacedPiece, used: float = 69.0, width: float = 100.0, offcut: bool = False) -> KeptLayout:
    """A layout of one sheet."""
    sheet = LaidSheet(offcut=offcut, width_mm=width, height_mm=60, used_mm=used, pieces=pieces)
    return KeptLayout(
        laid_on=date(2031, 5, 20), fingerprint="0" * 64, glasses=(LaidGlass(material="reed", sheets=(sheet,)),)
    )


@pytest.mark.parametrize(
    ("pieces", "used", "good"),
    [
        ((placed(3), placed(36)), 69, True),
        # 2.9 mm between them, though the clearance is 3.
        ((placed(3), placed(35.9)), 69, False),
        ((placed(3), placed(20)), 69, False),
        # Nearer than 3 mm to the left, the top, the foot, and to the cut beyond them.
        ((placed(2.9), placed(36)), 69, False),
        ((placed(3, 2.9), placed(36)), 69, False),
        ((placed(3), placed(36, 37.1)), 69, False),
        ((placed(3), placed(36)), 68.9, False),
        # More of the sheet than there is.
        ((placed(3), placed(36)), 101, False),
        # One piece too few, one too many, and one that stands as a spare where none is cut.
        ((placed(3),), 69, False),
        ((placed(3), placed(36), placed(3, 30)), 69, False),
        ((placed(3), placed(36, spare=True)), 69, False),
    ],
)
def test_a_layout_holds_as_long_as_it_can_be_cut(pieces: tuple[PlacedPiece, ...], used: float, good: bool) -> None:
    """Every piece is there once, inside its sheet and clear of its neighbours."""
    assert is_valid(layout(*pieces, used=used), [glass()], CLEARANCE) is good


@pytest.mark.parametrize(
    ("turn", "x", "y", "grain", "good"),
    [
        # End for end a piece lies the other way of its corner; a quarter turn takes it to 20 mm by 30.
        (180.0, 66.0, 23.0, True, True),
        (90.0, 56.0, 3.0, False, True),
        (90.0, 56.0, 3.0, True, False),
        (45.0, 60.0, 3.0, False, False),
    ],
)
def test_glass_with_a_grain_is_not_turned_a_quarter(turn: float, x: float, y: float, grain: bool, good: bool) -> None:
    """With a grain a piece lies along it, one way or the other."""
    assert is_valid(layout(placed(3), placed(x, y, turn)), [glass(grain)], CLEARANCE) is good


def test_a_sheet_is_as_large_as_it_is_sold_and_an_offcut_as_it_was_measured() -> None:
    """A whole sheet of another size is damaged, an offcut may have any."""
    pair = placed(3), placed(36)
    assert not is_valid(layout(*pair, width=90), [glass()], CLEARANCE)
    assert is_valid(layout(*pair, width=90, offcut=True), [glass()], CLEARANCE)


def test_spares_are_marked_as_spares() -> None:
    """One of the two that is cut to spare is marked so, or the count of items would be off."""
    assert is_valid(layout(placed(3), placed(36, spare=True)), [glass(spares=1)], CLEARANCE)
    assert not is_valid(layout(placed(3), placed(36)), [glass(spares=1)], CLEARANCE)


def test_another_glass_is_another_layout() -> None:
    """A layout of a glass that is not cut, or without one that is, does not hold."""
    assert not is_valid(layout(placed(3), placed(36)), [], CLEARANCE)
