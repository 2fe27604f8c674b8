"""A hung piece made ready to send: its own size with its hardware laid on it, its box and its band."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.making.parcel import PackedPiece, Sides, cheapest, smallest
from catalog_builder.mistake import Finding
from catalog_builder.phrase import Number, Phrase, Value, phrase, quantity
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.records.product import Product
from catalog_builder.records.selling.boxes import PackingBox
from catalog_builder.records.selling.postage import PostageBand
from catalog_builder.units import exact


@dataclass(frozen=True, slots=True)
class Packer:
    """Packs pieces into the studio's boxes, and sends them by its carriers' bands.

    ``coil_mm`` is what a coiled hook, cord or chain adds to the depth, ``rim_mm`` what the bead on the rim adds on each
    side. The mass is the most that a piece may weigh: a carrier charges for what its own scales say.
    """

    boxes: Sequence[PackingBox]
    postage: Sequence[PostageBand]
    coil_mm: Decimal
    rim_mm: Decimal

    def pack(self, product: Product, suspension: Suspension) -> tuple[PackedPiece | None, tuple[Finding, ...]]:
        """Choose a piece's box and the band that carries it; None where there are no boxes or none takes it."""
        if not self.boxes:
            return None, ()
        packed, most_g = self._in_box(self.sides(suspension), _most_g(suspension)), _most_g(suspension)
        piece: dict[str, Value] = {
            "title": product.keys.title,
            "size": _size((suspension.width_mm, suspension.height_mm, suspension.depth_mm)),
            "mass": quantity(most_g, "g"),
        }
        if packed is None:
            return None, (_finding("S01", product, "no_box", piece),)
        if not self.postage or packed.band is not None:
            return packed, ()
        parcel: dict[str, Value] = {"packed_size": _size(packed.sides_mm), "packed_mass": quantity(packed.mass_g, "g")}
        return packed, (_finding("S02", product, "no_band", {**piece, **parcel}),)

    def pack_together(self, pieces: Sequence[tuple[Suspension, int]]) -> PackedPiece | None:
        """Pack pieces one on the other: as wide and high as the largest, as deep and heavy as all together."""
        sides = [(self.sides(suspension), count) for suspension, count in pieces]
        lying = [(max(width, height), min(width, height), depth, count) for (width, height, depth), count in sides]
        length, width = max(side[0] for side in lying), max(side[1] for side in lying)
        depth = sum(side[2] * side[3] for side in lying)
        return self._in_box((length, width, depth), sum(_most_g(suspension) * count for suspension, count in pieces))

    def sides(self, suspension: Suspension) -> Sides:
        """Give width, height and depth in mm of a piece as it goes into a box, with the bead on its rim.

        What is soldered on stands out. Hook, cord or chain is coiled up and laid on it.
        """
        coil = float(self.coil_mm) if suspension.hanger is not None and suspension.stance is None else 0.0
        width, height, depth = suspension.outer_mm
        return width + 2 * float(self.rim_mm), height + 2 * float(self.rim_mm), depth + coil

    def _in_box(self, sides: Sides, mass_g: float) -> PackedPiece | None:
        box = smallest(self.boxes, *sides, mass_g)
        if box is None:
            return None
        whole_g = mass_g + float(box.mass_g)
        return PackedPiece(box, box.outer_mm, whole_g, cheapest(self.postage, box.outer_mm, whole_g))


def _most_g(suspension: Suspension) -> float:
    return suspension.mass_g + suspension.mass_uncertainty_g


def _size(sides_mm: Sides) -> Phrase:
    length, width, depth = (Number(exact(side, 0)) for side in sides_mm)
    return phrase("findings_making.size_mm", length=length, width=width, depth=depth)


def _finding(code: str, product: Product, key: str, values: dict[str, Value]) -> Finding:
    return Finding.of(code, product.source.place(), f"findings_making.{key}", **values)
