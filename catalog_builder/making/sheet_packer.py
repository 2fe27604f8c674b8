"""Packs the pieces of one glass on sheet after sheet, each within the seconds that it is given.

A strip-packing library lays pieces on one sheet; which pieces go onto which sheet is decided here: the largest that
are left, as many as there is room for, then what smaller ones still fit.
"""

from __future__ import annotations

import math
import time
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from random import Random

import numpy as np
import shapely

from catalog_builder.making.cutting_list import BatchGlass
from catalog_builder.mistake import MistakeError, Place
from catalog_builder.records.kept_layout import MOST_SHEETS, LaidSheet, PieceKey, PlacedPiece
from catalog_builder.records.stock import Offcut

# Outlines are made larger by this, and their corners fewer within it, so that the packer is quick and the clearance
# is kept by the true outlines.
GROWN_MM, _SIMPLER_MM = 0.15, 0.1
# The share of a sheet that pieces and the clearance round them often reach: where the halving begins.
_LIKELY = 0.84
# How many times smaller pieces are tried beside those that are laid.
_ROUNDS = 6
# The share of a sheet's time that goes into laying more pieces on it; the rest goes into using less of its width.
_FOR_MORE = 0.6
# How many random choices of the copies that lie face down are tried beside none.
_DRAWS = 3

# A copy of a piece as it is laid: which piece, and whether its face lies down.
Copy = tuple[PieceKey, bool]


@dataclass(frozen=True, slots=True)
class Strip:
    """Pieces packed on a sheet's height: the width they take, and where each of them is."""

    used_mm: float
    pieces: tuple[PlacedPiece, ...]


class _Clock:
    """The seconds that a sheet still has."""

    def __init__(self, seconds: float) -> None:
        self.end = time.monotonic() + seconds

    @property
    def left_s(self) -> int:
        """Whole seconds: the packing library takes no others."""
        return max(0, int(self.end - time.monotonic() + 0.05))


class SheetPacker:
    """Lays one glass, sheet after sheet; ``progress`` is called with the number of pieces that have been laid."""

    def __init__(self, glass: BatchGlass, clearance_mm: float, seconds: int, progress: Callable[[int], None]) -> None:
        self.glass, self.clearance, self.seconds, self.progress = glass, clearance_mm, seconds, progress
        self.by_key = {piece.key: piece for piece in glass.pieces}
        faces = (False, True) if glass.material.either_face else (False,)
        # Each with half of the clearance round it, which is what it takes of a sheet at the least. The library can
        # keep pieces apart itself, but fails where few of them need less width than two clearances.
        self.shapes = {
            (piece.key, face_down): _grown(piece.turned(0, face_down), clearance_mm / 2)
            for piece in glass.pieces
            for face_down in faces
        }
        self.room = {piece.key: self.shapes[piece.key, False].area for piece in glass.pieces}
        self.one_faced = {piece.key for piece in glass.pieces if len(faces) == 1 or piece.is_symmetric(glass.turns)}
        self.left = Counter({piece.key: piece.count + piece.spares for piece in glass.pieces})
        self.spares = {piece.key: piece.spares for piece in glass.pieces}
        self.laid = 0

    def sheets(self, offcuts: Sequence[Offcut]) -> list[LaidSheet]:
        """Lay everything: on offcuts in stock where something fits, the smallest first, then on whole sheets.

        Raises:
            MistakeError: the pieces do not fit on as many sheets as a layout may hold.
        """
        laid = [
            sheet
            for offcut in offcuts
            if +self.left and (sheet := self._filled(float(offcut.width_mm), float(offcut.height_mm), True)) is not None
        ]
        whole = self.glass.sheet_mm or (0.0, 0.0)
        while +self.left:
            sheet = self._filled(*whole, False)
            if sheet is None or len(laid) >= MOST_SHEETS:
                raise MistakeError.at(
                    Place(path="content/materials.csv"),
                    wrong=f"the pieces of {self.glass.material.material} cannot all be laid on {MOST_SHEETS} sheets",
                    expected="a batch that its sheets hold",
                    mend="part the batch into several",
                )
            laid.append(sheet)
        return laid

    def _filled(self, width: float, height: float, offcut: bool) -> LaidSheet | None:
        """Lay as much as fits on a rectangle, and take it off what is left; None where nothing fits."""
        clock = _Clock(self.seconds)
        inner = width - 2 * self.clearance - 2 * GROWN_MM, height - 2 * self.clearance - 2 * GROWN_MM
        order = sorted(self.by_key, key=lambda key: (-round(self.by_key[key].area_mm2, 1), key))
        fitting = [key for key in order if self.by_key[key].fits(*inner, self.glass.turns)]
        chosen: list[PieceKey] = []
        best: Strip | None = None
        # First as quickly as the library can, which settles how much fits at the least; then with time for each trial.
        for slow in (False, True):
            rest = [key for key in fitting for _ in range(self.left[key] - chosen.count(key))]
            for _ in range(_ROUNDS):
                free = (width - self.clearance) * (height - self.clearance) - sum(self.room[key] for key in chosen)
                rest = [key for key in rest if self.room[key] <= free]
                if not rest or (best is not None and clock.left_s <= (1 - _FOR_MORE) * self.seconds):
                    break
                count, strip = self._most(chosen, rest, (width, height), clock, slow)
                best = strip or best
                chosen += rest[:count]
                self.progress(self.laid + len(chosen))
                # The first that found no room is left out with all copies of it.
                refused = rest[count] if count < len(rest) else None
                rest = [key for key in rest[count:] if key != refused]
        if best is None:
            return None
        longer = self._narrowest(chosen, height, clock.left_s)
        if longer is not None and longer.used_mm < best.used_mm:
            best = longer
        self.left -= Counter(chosen)
        self.laid += len(chosen)
        return LaidSheet(
            offcut=offcut,
            width_mm=width,
            height_mm=height,
            used_mm=min(best.used_mm, width),
            pieces=self._with_spares(best.pieces),
        )

    def _most(
        self, chosen: list[PieceKey], rest: list[PieceKey], sides: tuple[float, float], clock: _Clock, slow: bool
    ) -> tuple[int, Strip | None]:
        """Find how many of the rest can be laid beside what is chosen, by halving; and the packing of them."""
        width, height = sides
        free = (width - self.clearance) * (height - self.clearance) - sum(self.room[key] for key in chosen)
        areas = np.cumsum([self.room[key] for key in rest])
        most = int(np.searchsorted(areas, free, side="right"))
        likely = int(np.searchsorted(areas, _LIKELY * free, side="right"))
        least, packing = 0, None
        trial = most if most == len(rest) == likely else max(1, likely)
        each_s = max(1, self.seconds // 6)
        while least < most:
            if clock.left_s <= (1 - _FOR_MORE) * self.seconds and (slow or chosen or packing is not None):
                break
            keys = [*chosen, *rest[:trial]]
            if slow:
                strip = self._packed([(key, False) for key in keys], height, min(each_s, clock.left_s))
            else:
                strip = self._narrowest(keys, height, 0)
            if strip is not None and strip.used_mm <= width:
                least, packing = trial, strip
            else:
                most = trial - 1
            trial = (least + most + 1) // 2
        return least, packing

    def _narrowest(self, keys: Sequence[PieceKey], height: float, seconds: int) -> Strip | None:
        """Pack pieces as drawn and, where both faces will do, with some face down; None where the packer gives up.

        Which lie face down is drawn by lot several times, and the draw that takes least when packed quickly counts.
        """
        ways = [[(key, False) for key in keys]]
        if not self.one_faced.issuperset(keys):
            chance = Random(1)  # noqa: S311 - a layout, not a secret
            draws = [
                [(key, key not in self.one_faced and chance.random() < 0.5) for key in keys] for _ in range(_DRAWS)
            ]
            strips = [self._packed(draw, height, 0) for draw in draws]
            widths = [math.inf if strip is None else strip.used_mm for strip in strips]
            ways.append(draws[widths.index(min(widths))])
        strips = [self._packed(way, height, seconds // len(ways)) for way in ways]
        return min((strip for strip in strips if strip is not None), key=lambda strip: strip.used_mm, default=None)

    def _packed(self, copies: Sequence[Copy], height: float, seconds: int) -> Strip | None:
        """Pack copies on a strip of some height within some seconds; None where the packer gives up."""
        import spyrrow

        order = list(dict.fromkeys(copies))
        counts = Counter(copies)
        items = [
            spyrrow.Item(str(index), list(self.shapes[copy].exterior.coords)[:-1], counts[copy], list(self.glass.turns))
            for index, copy in enumerate(order)
        ]
        config = spyrrow.StripPackingConfig(
            early_termination=True,
            total_computation_time=None,
            exploration_time=seconds - seconds // 4,
            compression_time=seconds // 4,
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
            key, face_down = order[int(placed.id)]
            pieces.append(PlacedPiece(**key._asdict(), turn=turn, x=x, y=y, face_down=face_down))
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


def _grown(outline: shapely.Polygon, room_mm: float) -> shapely.Polygon:
    """Give an outline with some room round it, with few corners; the library knows no holes."""
    grown = shapely.Polygon(outline.exterior).buffer(room_mm + GROWN_MM, quad_segs=4)
    return shapely.Polygon(shapely.simplify(grown, _SIMPLER_MM).exterior)
