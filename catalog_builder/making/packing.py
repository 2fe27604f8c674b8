"""A hung piece made ready to send: its own size with its hardware laid on it, its box and its band."""

from __future__ import annotations

from catalog_builder.making.parcel import PackedPiece, Sides, cheapest, smallest
from catalog_builder.mistake import Finding
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.records.content import Content
from catalog_builder.records.product import Product


def pack(content: Content, product: Product, suspension: Suspension) -> tuple[PackedPiece | None, tuple[Finding, ...]]:
    """Choose a piece's box and the band that carries it; None where there are no boxes or none takes it."""
    if not content.boxes:
        return None, ()
    mass = suspension.mass_g
    box = smallest(content.boxes, *piece_sides(content, suspension), mass)
    size = " x ".join(f"{side:.0f}" for side in (suspension.width_mm, suspension.height_mm, suspension.depth_mm))
    what = f"{product.keys.title}, {size} mm and {mass:.0f} g"
    if box is None:
        return None, (_by_hand(product, what),)
    whole = mass + float(box.mass_g)
    packed = PackedPiece(box, box.outer_mm, whole, cheapest(content.postage, box.outer_mm, whole))
    told = (_unsent(product, what, packed),) if content.postage and packed.band is None else ()
    return packed, told


def piece_sides(content: Content, suspension: Suspension) -> Sides:
    """Give width, height and depth in mm of a piece as it goes into a box.

    Rings stand out by their whole length at the most, and may stand across the glass. Hook, cord or chain is coiled
    up and laid on it, and takes ``[parcel] coil_mm``.
    """
    depth = max(suspension.depth_mm, float(suspension.ring.diameter_mm or 0))
    coil = float(content.studio.parcel.coil_mm) if suspension.hanger is not None else 0.0
    return suspension.width_mm, suspension.height_mm + float(suspension.ring.length_mm or 0), depth + coil


def _by_hand(product: Product, what: str) -> Finding:
    return Finding(
        code="S01",
        place=product.source.place(),
        text=f"no box of boxes.csv takes {what}: it goes by hand",
        advice="add a larger or stronger box, or leave it so; the catalogue then says that it is not sent",
    )


def _unsent(product: Product, what: str, packed: PackedPiece) -> Finding:
    length, width, depth = packed.sides_mm
    return Finding(
        code="S02",
        place=product.source.place(),
        text=f"no band of postage.csv takes {what}, packed {length:.0f} x {width:.0f} x {depth:.0f} mm "
        f"and {packed.mass_g:.0f} g",
        advice="add a band that takes it, or agree on a price with each buyer",
    )
