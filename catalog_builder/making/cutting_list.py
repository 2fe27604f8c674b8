"""What glass a batch takes: every cut of its variants, counted, by the sheet of glass it comes from."""

from __future__ import annotations

import hashlib
import json
import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

import shapely
from shapely import Polygon, affinity

from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.records.batch_plan import Ordered
from catalog_builder.records.kept_layout import PieceKey
from catalog_builder.records.material import Material
from catalog_builder.units import exact

# Turns in degrees that a piece may be laid at, once its grain runs along the sheet's. It is turned over only where
# both faces of its glass will do.
WITH_GRAIN = (0.0, 180.0)
WITHOUT_GRAIN = (0.0, 90.0, 180.0, 270.0)
# Places are compared on a grid of this width, whose lines stand where no drawing is likely to have its points.
_GRID_MM, _OFF_MM = 0.05, 0.01237
# Less of its area than this between an outline and its mirror image, and they count as one.
_SAME_SHARE = 0.005


@dataclass(frozen=True, slots=True)
class ItemCut:
    """A cut of one item: the part and number that its pattern sheet gives it, and how often it is cut.

    ``mirrored``: for a part's mirror image; ``shape`` and ``grain`` are then mirrored already.
    """

    part: str
    number: str
    mirrored: bool
    glass: str
    shape: Polygon
    grain: float
    area_mm2: float
    charged_mm2: float
    count: int


@dataclass(frozen=True, slots=True)
class GlassPiece:
    """A cut of glass of a batch, and how many of it are cut; ``spares`` are counted beside them.

    ``outline`` has its grain along the sheet's and the upper left corner of its box at (0, 0); mm, y downwards.
    """

    key: PieceKey
    outline: Polygon
    area_mm2: float
    count: int
    spares: int = 0

    def turned(self, degrees: float, face_down: bool = False) -> Polygon:
        """Give the outline turned about the corner of its box, clockwise as seen.

        Face down it is mirrored first, left to right within its box: a grain along the sheet's stays along it.
        """
        outline = affinity.affine_transform(self.outline, [-1, 0, 0, 1, self.outline.bounds[2], 0])
        return affinity.rotate(outline if face_down else self.outline, degrees, origin=(0, 0))

    def is_symmetric(self, turns: Sequence[float]) -> bool:
        """Say whether its mirror image is the same outline at one of some turns: turning it over gains nothing."""
        for turn in turns:
            image = self.turned(turn, True)
            left, top = image.bounds[:2]
            moved = affinity.translate(image, -left, -top)
            if moved.symmetric_difference(self.outline).area < _SAME_SHARE * self.outline.area:
                return True
        return False

    def fits(self, width_mm: float, height_mm: float, turns: Sequence[float]) -> bool:
        """Say whether its box lies within a rectangle at one of some turns."""
        right, bottom = self.outline.bounds[2:]
        sides = {(right, bottom) if turn % 180 == 0 else (bottom, right) for turn in turns}
        return any(across <= width_mm and down <= height_mm for across, down in sides)


@dataclass(frozen=True, slots=True)
class BatchGlass:
    """All that a batch cuts from one glass.

    ``cracked`` is how many pieces are expected to crack, ``boxes_mm2`` the area of the boxes that are charged.
    """

    material: Material
    pieces: tuple[GlassPiece, ...]
    cracked: Decimal
    boxes_mm2: float = 0.0

    @property
    def count(self) -> int:
        """How many pieces are cut, spares left out."""
        return sum(piece.count for piece in self.pieces)

    @property
    def spares(self) -> int:
        """How many further pieces there is glass for."""
        return sum(piece.spares for piece in self.pieces)

    @property
    def area_mm2(self) -> float:
        """The area of the pieces, spares left out."""
        return sum(piece.area_mm2 * piece.count for piece in self.pieces)

    @property
    def turns(self) -> tuple[float, ...]:
        """The turns that its pieces may be laid at."""
        return WITH_GRAIN if self.material.has_grain else WITHOUT_GRAIN

    @property
    def sheet_mm(self) -> tuple[float, float] | None:
        """Width and height of the sheet it is sold in; None where its row does not say."""
        width, height = self.material.sheet_width_mm, self.material.sheet_height_mm
        return (float(width), float(height)) if width and height else None


def cuts_of(made: MadePiece, clearance_mm: float = 0.0) -> Iterator[ItemCut]:
    """Give each cut of one item, part by part, with the box that is charged for it."""
    for flat in made.flats:
        images = Counter(place.mirrored for place in flat.places)
        for mirrored in sorted(images):
            for cut in flat.cuts:
                shape = affinity.scale(cut.shape, xfact=-1, origin=(0, 0)) if mirrored else cut.shape
                grain = (180 - cut.grain) % 180 if mirrored else cut.grain
                charged = cut.charged_mm2(clearance_mm)
                yield ItemCut(
                    flat.name, cut.number, mirrored, cut.glass, shape, grain, cut.area_mm2, charged, images[mirrored]
                )


def batch_glass(
    rows: Mapping[str, Material], orders: Iterable[tuple[Ordered, MadePiece]], clearance_mm: float = 0.0
) -> tuple[BatchGlass, ...]:
    """Give the glass of a batch in order of its names; ``rows`` are the materials."""
    cuts: dict[str, dict[PieceKey, ItemCut]] = {}
    counts: dict[tuple[str, PieceKey], int] = {}
    boxes: dict[str, float] = {}
    for ordered, made in orders:
        choice = ordered.product.keys.glass[ordered.choice]
        for cut in cuts_of(made, clearance_mm):
            name = choice.pieces[cut.glass]
            if rows[name].ready_made:
                continue
            key = PieceKey(ordered.product.slug, ordered.size, cut.part, cut.number, cut.mirrored)
            cuts.setdefault(name, {}).setdefault(key, cut)
            counts[name, key] = counts.get((name, key), 0) + cut.count * ordered.count
            boxes[name] = boxes.get(name, 0.0) + cut.charged_mm2 * cut.count * ordered.count
    glass = []
    for name in sorted(cuts):
        pieces = [_piece(key, cut, counts[name, key], rows[name]) for key, cut in cuts[name].items()]
        cracked = sum(piece.count for piece in pieces) * rows[name].loss_percent / 100
        glass.append(BatchGlass(rows[name], _with_spares(pieces, cracked), cracked, boxes[name]))
    return tuple(glass)


def _piece(key: PieceKey, cut: ItemCut, count: int, material: Material) -> GlassPiece:
    """Lay a cut with its grain along the sheet's."""
    upright = material.sheet_grain == "height"
    shape = affinity.rotate(cut.shape, cut.grain - (90 if upright else 0), origin=(0, 0))
    left, top = shape.bounds[:2]
    return GlassPiece(key, affinity.translate(shape, -left, -top), cut.area_mm2, count)


def _with_spares(pieces: Sequence[GlassPiece], cracked: Decimal) -> tuple[GlassPiece, ...]:
    """Add spares, the largest pieces first: whichever piece cracks, there is room to cut it again.

    Their number is that of the pieces expected to crack, to the nearest whole one.
    """
    spares = int(cracked.quantize(Decimal(1), rounding=ROUND_HALF_UP))
    by_area = sorted(pieces, key=lambda piece: (-round(piece.area_mm2, 1), piece.key))
    whole, rest = divmod(spares, len(by_area))
    more = {piece.key: whole + (place < rest) for place, piece in enumerate(by_area)}
    return tuple(GlassPiece(piece.key, piece.outline, piece.area_mm2, piece.count, more[piece.key]) for piece in pieces)


def fingerprint(glasses: Sequence[BatchGlass], clearance_mm: Decimal) -> str:
    """Give the SHA-256 of all that a layout is made from: outlines, counts, spares, sheets, turns and clearance.

    Stock is no part of it: cutting the batch uses it up. Outlines count as sets of points on a grid, so that neither
    the last digits nor the order of points, in which machines may differ, change it.
    """
    inputs = {
        "clearance": f"{clearance_mm.normalize():f}",
        "glass": [
            {
                "name": glass.material.material,
                "sheet": glass.sheet_mm,
                "turns": glass.turns,
                **({"either_face": True} if glass.material.either_face else {}),
                "pieces": [
                    (piece.key, piece.count, piece.spares, _points(piece.outline))
                    for piece in sorted(glass.pieces, key=lambda piece: piece.key)
                ],
            }
            for glass in glasses
        ],
    }
    return hashlib.sha256(json.dumps(inputs, sort_keys=True).encode()).hexdigest()


def _points(outline: Polygon) -> list[tuple[int, int]]:
    places = shapely.get_coordinates(outline).tolist()
    return sorted({(math.floor((x + _OFF_MM) / _GRID_MM), math.floor((y + _OFF_MM) / _GRID_MM)) for x, y in places})


def net_areas(made: MadePiece, pieces: Mapping[str, str]) -> dict[str, Decimal]:
    """Give the area in dm2 of the cuts of one item by glass; ``pieces`` are the materials of its glass words."""
    areas: dict[str, float] = {}
    for word, tally in made.tallies.items():
        name = pieces[word]
        areas[name] = areas.get(name, 0.0) + tally.area_mm2
    return {name: exact(area / 10_000) for name, area in sorted(areas.items())}
