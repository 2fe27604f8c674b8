"""The legs of a cord or chain over two rings: how high they rise, what each pulls, and about what the piece swings."""

from __future__ import annotations

import math

from catalog_builder.mistake import MistakeError
from catalog_builder.piece.balance import Place, apex, leg_pulls, leg_rise_mm, shares, tilt_degrees
from catalog_builder.piece.mass import Body
from catalog_builder.records.product import Product


def legs_rise_mm(product: Product, rings: tuple[Place, ...]) -> float | None:
    """Give how high a cord or chain rises over two rings; None where there are no two legs.

    Raises:
        MistakeError: it is not longer than the rings are apart.
    """
    hang = product.keys.hang
    if len(rings) < 2 or not hang.by.by_length:
        return None
    span = math.dist(*rings)
    try:
        return leg_rise_mm(float(hang.length or 0), span)
    except ValueError:
        raise MistakeError.at(
            product.source.place(product.line("hang", "length")),
            wrong=f"the {hang.by} of {hang.length:g} mm does not reach over two rings {span:.0f} mm apart",
            expected=f"a length well above {span:.0f} mm for every size; twice as much hangs well",
            mend="give a greater length",
        ) from None


def pivot_of(rings: tuple[Place, ...], rise_mm: float | None) -> Place:
    """Give about what a piece swings: its ring, the left one of two, or the point where two legs meet."""
    return rings[0] if rise_mm is None else apex(rings[0], rings[1], rise_mm)


def tilt_on(rings: tuple[Place, ...], rise_mm: float | None, whole: Body) -> float:
    """Give the tilt in degrees on one ring or on two legs; two rings that each hang for themselves allow none."""
    if len(rings) == 2 and rise_mm is None:
        return 0.0
    return tilt_degrees(pivot_of(rings, rise_mm), whole.centre)


def ring_loads_g(product: Product, whole: Body, rings: tuple[Place, ...], rise_mm: float | None) -> tuple[float, ...]:
    """Give the load on each ring: all of it on one, the share by the lever rule on two, or the pull of each leg.

    Raises:
        MistakeError: one leg of a cord or chain would hang slack.
    """
    if len(rings) == 1:
        return (whole.mass_g,)
    if rise_mm is None:
        return tuple(whole.mass_g * share for share in shares(rings[0][0], rings[1][0], whole.centre[0]))
    try:
        return leg_pulls(rings[0], rings[1], pivot_of(rings, rise_mm), whole.centre, whole.mass_g)
    except ValueError:
        raise MistakeError.at(
            product.source.place(product.line("hang")),
            wrong=f"one side of the {product.keys.hang.by} would hang slack: the piece would swing until "
            "the other side alone carries it",
            expected="two rings about level with each other, one on each side of the centre of mass",
            mend="move the rings so that they are level, or hang it by one ring",
        ) from None
