"""Laying a batch's glass on sheets: computed only by command, kept in a file, never as part of a price.

A strip-packing library lays pieces on one sheet; which pieces go onto which sheet is decided here: the largest that
are left, as many as there is room for, then what smaller ones still fit.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

import numpy as np
import shapely

from catalog_builder.making.cutting_list import BatchGlass, GlassPiece, fingerprint
from catalog_builder.mistake import Mistake, MistakeError, Place
from catalog_builder.records.kept_layout import (
    MOST_PIECES,
    MOST_SHEETS,
    KeptLayout,
    LaidGlass,
    LaidSheet,
    PieceKey,
    PlacedPiece,
)
from catalog_builder.records.stock import Offcut, Stock

# Outlines are made larger by this, and their corners fewer within it, so that the packer is quick and the clearance
# is kept by the true outlines.
_GROWN_MM, _SIMPLER_MM = 0.15, 0.1
# What rounding may take of a clearance before a layout counts as damaged.
_SLACK_MM = 0.01
# A trial only asks whether pieces fit; the sheet that is kept is packed for longer. Whole seconds: one, and one more
# for each so many pieces.
TRIAL_S, _MORE_EACH = 1, 40
# The share of a sheet that pieces and the clearance round them often reach: where the halving begins.
_LIKELY = 0.84
# How many times smaller pieces are tried beside those that are laid.
_ROUNDS = 6

Progress = Callable[[int], None]


@dataclass(frozen=True, slots=True)
class Strip:
    """Pieces packed on a sheet's height: the width they take, and where each of them is."""

    used_mm: float
    pieces: tuple[PlacedPiece, ...]


def lay_batch(
    glasses: Sequence[BatchGlass], stock: Stock, clearance_mm: Decimal, seconds: int, day: date, progress: Progress
) -> KeptLayout:
    """Lay all glass of a batch on sheets, offcuts in stock first; ``seconds`` is how long each sheet is packed.

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
        packer = _Packer(glass, float(clearance_mm), seconds)
        sheets: list[LaidSheet] = []
        for sheet in packer.sheets(stock.offcuts.get(glass.material.material, ())):
            sheets.append(sheet)
            done += len(sheet.pieces)
            progress(done)
        laid.append(LaidGlass(material=glass.material.material, sheets=tuple(sheets)))
    layout = KeptLayout(laid_on=day, fingerprint=fingerprint(glasses, clearance_mm), glasses=tuple(laid))
    if not is_valid(layout, glasses, clearance_mm):
        wrong, mend = "the packing library gave a layout that cannot be cut", "lay it again with other `--seconds`"
        expected = "every piece once, inside its sheet and clear of its neighbours"
        raise MistakeError([Mistake(place=Place(path="content/batches"), wrong=wrong, expected=expected, mend=mend)])
    return layout


def _refused(glass: BatchGlass, clearance_mm: float) -> list[Mistake]:
    name, place = glass.material.material, Place(path="content/materials.csv")
    if glass.sheet_mm is None:
        wrong, mend = f"the glass {name} has no sheet size", "measure a sheet and fill both cells in"
        expected = "values in sheet_width_mm and sheet_height_mm"
        return [Mistake(place=place, wrong=wrong, expected=expected, mend=mend)]
    if glass.count + glass.spares > MOST_PIECES:
        wrong, mend = f"the batch has {glass.count + glass.spares} pieces of {name}", "part the batch into several"
        return [Mistake(place=place, wrong=wrong, expected=f"up to {MOST_PIECES} pieces of a glass", mend=mend)]
    width, height = (side - 2 * clearance_mm - 2 * _GROWN_MM for side in glass.sheet_mm)
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


class _Packer:
    """Lays one glass, sheet after sheet."""

    def __init__(self, glass: BatchGlass, clearance_mm: float, seconds: int) -> None:
        self.glass, self.clearance, self.seconds = glass, clearance_mm, seconds
        self.by_key = {piece.key: piece for piece in glass.pieces}
        # Each with half of the clearance round it, which is what it takes of a sheet at the least. The library can
        # keep pieces apart itself, but fails where few of them need less width than two clearances.
        self.shapes = {piece.key: _grown(piece, clearance_mm / 2) for piece in glass.pieces}
        self.room = {key: shape.area for key, shape in self.shapes.items()}
        self.left = Counter({piece.key: piece.count + piece.spares for piece in glass.pieces})
        self.spares = {piece.key: piece.spares for piece in glass.pieces}

    def sheets(self, offcuts: Sequence[Offcut]) -> list[LaidSheet]:
        """Lay everything: on offcuts in stock where something fits, the smallest first, then on whole sheets."""
        laid = [
            sheet
            for offcut in offcuts
            if +self.left and (sheet := self._filled(float(offcut.width_mm), float(offcut.height_mm), True)) is not None
        ]
        whole = self.glass.sheet_mm or (0.0, 0.0)
        while +self.left:
            sheet = self._filled(*whole, False)
            if sheet is None or len(laid) >= MOST_SHEETS:
                name = self.glass.material.material
                wrong = f"the pieces of {name} cannot all be laid on {MOST_SHEETS} sheets"
                expected, mend = "a batch that its sheets hold", "part the batch into several"
                place = Place(path="content/materials.csv")
                raise MistakeError([Mistake(place=place, wrong=wrong, expected=expected, mend=mend)])
            laid.append(sheet)
        return laid

    def _filled(self, width: float, height: float, offcut: bool) -> LaidSheet | None:
        """Lay as much as fits on a rectangle, and take it off what is left; None where nothing fits."""
        inner = width - 2 * self.clearance - 2 * _GROWN_MM, height - 2 * self.clearance - 2 * _GROWN_MM
        order = sorted(self.by_key, key=lambda key: (-round(self.by_key[key].area_mm2, 1), key))
        fitting = [key for key in order if self.by_key[key].fits(*inner, self.glass.turns)]
        rest = [key for key in fitting for _ in range(self.left[key])]
        free = (width - self.clearance) * (height - self.clearance)
        chosen: list[PieceKey] = []
        best: Strip | None = None
        for _ in range(_ROUNDS):
            taken = sum(self.room[key] for key in chosen)
            rest = [key for key in rest if self.room[key] <= free - taken]
            if not rest:
                break
            count, strip = self._most(chosen, rest, width, height)
            if strip is not None:
                best = strip
            chosen += rest[:count]
            # The first that found no room is left out with all copies of it.
            refused = rest[count] if count < len(rest) else None
            rest = [key for key in rest[count:] if key != refused]
        if best is None:
            return None
        longer = self._packed(chosen, height, self.seconds) if self.seconds > _trial_seconds(chosen) else None
        if longer is not None and longer.used_mm < best.used_mm:
            best = longer
        self.left -= Counter(chosen)
        return LaidSheet(
            offcut=offcut,
            width_mm=width,
            height_mm=height,
            used_mm=min(best.used_mm, width),
            pieces=self._with_spares(best.pieces),
        )

    def _most(
        self, chosen: list[PieceKey], rest: list[PieceKey], width: float, height: float
    ) -> tuple[int, Strip | None]:
        """Find how many of the rest can be laid beside what is chosen, by halving; and the packing of them."""
        free = (width - self.clearance) * (height - self.clearance) - sum(self.room[key] for key in chosen)
        areas = np.cumsum([self.room[key] for key in rest])
        most = int(np.searchsorted(areas, free, side="right"))
        likely = int(np.searchsorted(areas, _LIKELY * free, side="right"))
        least, packing = 0, None
        trial = most if most == len(rest) == likely else max(1, likely)
        while least < most:
            keys = [*chosen, *rest[:trial]]
            strip = self._packed(keys, height, _trial_seconds(keys))
            if strip is not None and strip.used_mm <= width:
                least, packing = trial, strip
            else:
                most = trial - 1
            trial = (least + most + 1) // 2
        return least, packing

    def _packed(self, keys: Sequence[PieceKey], height: float, seconds: int) -> Strip | None:
        """Pack pieces on a strip of some height; None where the packer gives up."""
        import spyrrow

        order = list(dict.fromkeys(keys))
        counts = Counter(keys)
        items = [
            spyrrow.Item(str(index), list(self.shapes[key].exterior.coords)[:-1], counts[key], list(self.glass.turns))
            for index, key in enumerate(order)
        ]
        config = spyrrow.StripPackingConfig(
            early_termination=True,
            total_computation_time=None,
            exploration_time=seconds,
            compression_time=max(1, seconds // 4),
            num_workers=1,
            seed=1,
        )
        try:
            solution = spyrrow.StripPackingInstance("", height - self.clearance, items).solve(config)
        except BaseException as fault:
            # The packer's own panic is no Exception. Anything else goes on to the caller.
            if type(fault).__name__ != "PanicException":
                raise
            return None
        pieces = []
        for placed in solution.placed_items:
            x, y = (round(float(value) + self.clearance / 2, 3) for value in placed.translation)
            turn = round(placed.rotation % 360, 3) % 360
            pieces.append(PlacedPiece(**order[int(placed.id)]._asdict(), turn=turn, x=x, y=y))
        pieces.sort(key=lambda piece: (piece.x, piece.y, piece.key))
        return Strip(round(float(solution.width) + self.clearance, 3), tuple(pieces))

    def _with_spares(self, pieces: Sequence[PlacedPiece]) -> tuple[PlacedPiece, ...]:
        """Mark the last copies of a piece as spares once all others have been laid."""
        marked = []
        waiting = Counter({key: self.left[key] for key in self.by_key})
        for piece in reversed(pieces):
            key = piece.key
            # What is still to come on later sheets takes the spares first.
            spare = waiting[key] < self.spares[key]
            if spare:
                self.spares[key] -= 1
            marked.append(piece.model_copy(update={"spare": spare}))
        return tuple(reversed(marked))


def _trial_seconds(keys: Sequence[PieceKey]) -> int:
    return TRIAL_S + len(keys) // _MORE_EACH


def _grown(piece: GlassPiece, room_mm: float) -> shapely.Polygon:
    """Give an outline that holds the piece and some room round it, with few corners; the library knows no holes."""
    grown = shapely.Polygon(piece.outline.exterior).buffer(room_mm + _GROWN_MM, quad_segs=4)
    return shapely.Polygon(shapely.simplify(grown, _SIMPLER_MM).exterior)


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
    return shapely.affinity.translate(piece.turned(placed.turn), placed.x, placed.y)
