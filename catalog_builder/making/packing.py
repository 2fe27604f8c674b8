"""A hung piece made ready to send: its own size with its hardware laid on it, its box and its band."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from catalog_builder.making.parcel import PackedPiece, Sides, cheapest, smallest
from catalog_builder.mistake import Finding
from catalog_builder.phrase import Number, Phrase, Value, phrase, quantity
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.records.product import Product
from catalog_builder.records.selling.boxes import PackingBox
from catalog_builder.records.selling.postage import PostageBand
from catalog_builder.units import exact


def pack(
    boxes: Sequence[PackingBox],
    postage: Sequence[PostageBand],
    coil_mm: Decimal,
    rim_mm: Decimal,
    product: Product,
    suspension: Suspension,
) -> tuple[PackedPiece | None, tuple[Finding, ...]]:
    """Choose a piece's box and the band that carries it; None where there are no boxes or none takes it.

    ``coil_mm`` is what a coiled hook, cord or chain adds to the depth, ``rim_mm`` what the bead on the rim adds on each
    side. The mass is the most that the piece may weigh: a carrier charges for what its own scales say.
    """
    if not boxes:
        return None, ()
    most_g = suspension.mass_g + suspension.mass_uncertainty_g
    box = smallest(boxes, *piece_sides(suspension, coil_mm, rim_mm), most_g)
    piece: dict[str, Value] = {
        "title": product.keys.title,
        "size": _size((suspension.width_mm, suspension.height_mm, suspension.depth_mm)),
        "mass": quantity(most_g, "g"),
    }
    if box is None:
        return None, (_finding("S01", product, "no_box", piece),)
    mass_g = most_g + float(box.mass_g)
    packed = PackedPiece(box, box.outer_mm, mass_g, cheapest(postage, box.outer_mm, mass_g))
    if not postage or packed.band is not None:
        return packed, ()
    parcel: dict[str, Value] = {"packed_size": _size(packed.sides_mm), "packed_mass": quantity(mass_g, "g")}
    return packed, (_finding("S02", product, "no_band", {**piece, **parcel}),)


def piece_sides(suspension: Suspension, coil_mm: Decimal, rim_mm: Decimal) -> Sides:
    """Give width, height and depth in mm of a piece as it goes into a box, with the bead on its rim.

    What is soldered on stands out. Hook, cord or chain is coiled up and laid on it.
    """
    coil = float(coil_mm) if suspension.hanger is not None and suspension.stance is None else 0.0
    width, height, depth = suspension.outer_mm
    return width + 2 * float(rim_mm), height + 2 * float(rim_mm), depth + coil


def _size(sides_mm: Sides) -> Phrase:
    length, width, depth = (Number(exact(side, 0)) for side in sides_mm)
    return phrase("findings_making.size_mm", length=length, width=width, depth=depth)


def _finding(code: str, product: Product, key: str, values: dict[str, Value]) -> Finding:
    return Finding(
        code=code,
        place=product.source.place(),
        text=phrase(f"findings_making.{key}", **values),
        advice=phrase(f"findings_making.{key}_advice"),
    )
