"""Laying a batch's glass on sheets: computed only by command, kept in a file, never as part of a price."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from functools import partial

import shapely

from catalog_builder.making.cutting_list import BatchGlass, GlassPiece, fingerprint
from catalog_builder.making.sheet_packer import GROWN_MM, SheetPacker
from catalog_builder.mistake import Mistake, MistakeError, Place
from catalog_builder.records.kept_layout import (
    MOST_PIECES,
    KeptLayout,
    LaidGlass,
    PieceKey,
    PlacedPiece,
)
from catalog_builder.records.stock import Stock

# What rounding may take of a clearance before a layout counts as damaged.
_SLACK_MM = 0.01

Progress = Callable[[int], None]


def lay_batch(
    glasses: Sequence[BatchGlass], stock: Stock, clearance_mm: Decimal, seconds: int, day: date, progress: Progress
) -> KeptLayout:
    """Lay all glass of a batch on sheets, offcuts in stock first; ``seconds`` is how long each sheet takes, trials too.

    ``progress`` is called with the number of pieces that have been laid.

    Raises:
        MistakeError: a glass has no sheet size, a piece fits on no sheet, there are too many pieces or sheets, or the
            packing is faulty.
    """
    mistakes = [mistake for glass in glasses for mistake in _refused(glass, float(clearance_mm))]
    if mistakes:
        raise MistakeError(mistakes)
    laid: list[LaidGlass] = []
    done = 0
    for glass in glasses:
        packer = SheetPacker(glass, float(clearance_mm), seconds, partial(_told, progress, done))
        sheets = packer.sheets(stock.offcuts.get(glass.material.material, ()))
        done += packer.laid
        laid.append(LaidGlass(material=glass.material.material, sheets=tuple(sheets)))
    layout = KeptLayout(laid_on=day, fingerprint=fingerprint(glasses, clearance_mm), glasses=tuple(laid))
    if not is_valid(layout, glasses, clearance_mm):
        wrong, mend = "the packing library gave a layout that cannot be cut", "lay it again with other `--seconds`"
        expected = "every piece once, inside its sheet and clear of its neighbours"
        raise MistakeError.at(Place(path="content/batches"), wrong=wrong, expected=expected, mend=mend)
    return layout


def _told(progress: Progress, before: int, count: int) -> None:
    progress(before + count)


def _refused(glass: BatchGlass, clearance_mm: float) -> list[Mistake]:
    name, place = glass.material.material, Place(path="content/materials.csv")
    if glass.sheet_mm is None:
        wrong, mend = f"the glass {name} has no sheet size", "measure a sheet and fill both cells in"
        expected = "values in sheet_width_mm and sheet_height_mm"
        return [Mistake(place=place, wrong=wrong, expected=expected, mend=mend)]
    if glass.count + glass.spares > MOST_PIECES:
        wrong, mend = f"the batch has {glass.count + glass.spares} pieces of {name}", "part the batch into several"
        return [Mistake(place=place, wrong=wrong, expected=f"up to {MOST_PIECES} pieces of a glass", mend=mend)]
    width, height = (side - 2 * clearance_mm - 2 * GROWN_MM for side in glass.sheet_mm)
    return [
        Mistake(
            place=place,
            wrong=f"the piece {piece.key.number} of {', '.join(word for word in piece.key.design if word)} "
            f"does not fit on a sheet of {name}: it is {piece.outline.bounds[2]:.0f} mm by "
            f"{piece.outline.bounds[3]:.0f} mm with its grain along the sheet's",
            expected=f"pieces within {glass.sheet_mm[0]:g} x {glass.sheet_mm[1]:g} mm, {clearance_mm:g} mm clear "
            "of its edges",
            mend="part the piece in the drawing, or give the glass a larger sheet",
        )
        for piece in glass.pieces
        if not piece.fits(width, height, glass.turns)
    ]


def is_valid(layout: KeptLayout, glasses: Sequence[BatchGlass], clearance_mm: Decimal) -> bool:
    """Say whether a layout has every piece of a batch once, inside its sheets and clear of its neighbours.

    A layout is a file, and a file can be damaged: it is charged by only as long as it could be cut.
    """
    by_name = {glass.material.material: glass for glass in glasses}
    if {laid.material for laid in layout.glasses} != set(by_name) or len(by_name) != len(layout.glasses):
        return False
    return all(_glass_is_valid(laid, by_name[laid.material], float(clearance_mm)) for laid in layout.glasses)


def _glass_is_valid(laid: LaidGlass, glass: BatchGlass, clearance_mm: float) -> bool:
    pieces = {piece.key: piece for piece in glass.pieces}
    placed = [piece for sheet in laid.sheets for piece in sheet.pieces]
    counted = Counter(piece.key for piece in placed)
    spares = Counter(piece.key for piece in placed if piece.spare)
    if counted != {piece.key: piece.count + piece.spares for piece in glass.pieces}:
        return False
    if any(spares[piece.key] != piece.spares for piece in glass.pieces):
        return False
    if any(piece.turn not in glass.turns for piece in placed):
        return False
    if not glass.material.either_face and any(piece.face_down for piece in placed):
        return False
    for sheet in laid.sheets:
        if not sheet.offcut and (sheet.width_mm, sheet.height_mm) != glass.sheet_mm:
            return False
        shapes = shapely.buffer([placed_shape(piece, pieces) for piece in sheet.pieces], -_SLACK_MM)
        inner = shapely.box(clearance_mm, clearance_mm, sheet.used_mm - clearance_mm, sheet.height_mm - clearance_mm)
        if sheet.used_mm > sheet.width_mm or not shapely.covers(inner, shapes).all():
            return False
        near = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=clearance_mm)
        if (near[0] != near[1]).any():
            return False
    return True


def placed_shape(placed: PlacedPiece, pieces: dict[PieceKey, GlassPiece]) -> shapely.Polygon:
    """Give the outline of a piece where it lies on its sheet, in mm from the sheet's upper left corner."""
    piece = pieces[placed.key]
    return shapely.affinity.translate(piece.turned(placed.turn, placed.face_down), placed.x, placed.y)
