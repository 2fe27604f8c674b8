"""The box for a piece, and the carrier's band for the box. Lengths are mm, masses g.

Everything here is an estimate until the parcel is measured and weighed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from catalog_builder.records.selling.boxes import PackingBox
from catalog_builder.records.selling.postage import PostageBand

Sides = tuple[float, float, float]
# Measures that differ by less are the same: a thousandth of a millimetre is the drawing's own rounding.
SAME_MM = 0.001


@dataclass(frozen=True, slots=True)
class PackedPiece:
    """A piece in its box: the parcel's sides outside, the longest first, and the most that it may weigh.

    ``band`` carries it, if any.
    """

    box: PackingBox
    sides_mm: Sides
    mass_g: float
    band: PostageBand | None


def smallest(
    boxes: Sequence[PackingBox], width_mm: float, height_mm: float, depth_mm: float, mass_g: float
) -> PackingBox | None:
    """Choose the box of the least volume inside, then the lightest, that takes a piece with its padding.

    The piece may be turned, its sides along the box's sides. None where no box takes it.
    """
    able = (box for box in boxes if takes(box, (width_mm, height_mm, depth_mm), mass_g))
    return min(able, key=lambda box: (_volume(box.inner_mm), box.mass_g, box.box), default=None)


def takes(box: PackingBox, sides_mm: Sides, mass_g: float) -> bool:
    """Say whether a box takes a piece in any turning.

    It is enough to try the longest side along the longest: a box goes into another, sides parallel, exactly when its
    sides in order of length are no longer than the other's in order. Plane reasoning; the tests try all six turnings.
    """
    if mass_g > float(box.holds_g):
        return False
    padding = 2 * float(box.padding_mm)
    padded = sorted((side + padding for side in sides_mm), reverse=True)
    return all(side <= inner + SAME_MM for side, inner in zip(padded, box.inner_mm, strict=True))


def cheapest(bands: Sequence[PostageBand], sides_mm: Sides, mass_g: float) -> PostageBand | None:
    """Choose the cheapest band that carries a parcel, by name among equals. None where none does."""
    able = (band for band in bands if carries(band, sides_mm, mass_g))
    return min(able, key=lambda band: (band.price, band.carrier, band.band, band.most_mass_g), default=None)


def carries(band: PostageBand, sides_mm: Sides, mass_g: float) -> bool:
    """Say whether a parcel is within a band's sides, its length and girth, and its mass."""
    if mass_g > float(band.most_mass_g):
        return False
    if band.most_girth_mm is not None and length_and_girth(sides_mm) > float(band.most_girth_mm) + SAME_MM:
        return False
    sides = sorted(sides_mm, reverse=True)
    return all(side <= most + SAME_MM for side, most in zip(sides, band.most_sides_mm, strict=True))


def length_and_girth(sides_mm: Sides) -> float:
    """Give the longest side and the way round the parcel across it: length + 2 (width + depth).

    Common practice of carriers, from memory: the longest side is the length, the girth goes round the thickest part.
    """
    length, width, depth = sorted(sides_mm, reverse=True)
    return length + 2 * (width + depth)


def _volume(sides: Sides) -> float:
    return sides[0] * sides[1] * sides[2]
