"""Strength: whether the solder round a ring, and a wire that carries one, hold the load with the safety factor.

Checked only where the table gives a strength. Solder creeps: what it holds for an hour it does not hold for years,
so the row should give the strength for lasting loads. An estimate; for anything heavy, someone qualified decides.
"""

from __future__ import annotations

import math
from decimal import Decimal

from catalog_builder.mistake import MistakeError
from catalog_builder.records.material import Material
from catalog_builder.records.product import Product

# Standard acceleration of free fall, exact (3rd CGPM 1901; ISO 80000-3).
FREE_FALL_M_S2 = 9.80665


def newtons(load_g: float) -> float:
    """Give the force of a load in grams: 1000 g pull with 9.80665 N."""
    return load_g / 1000 * FREE_FALL_M_S2


def wire_holds_n(wire: Material) -> float | None:
    """Give the pull in N at which a wire breaks: section x tensile strength (mm2 x MPa = N)."""
    if wire.strength_mpa is None:
        return None
    return math.pi / 4 * wire.wire_mm**2 * float(wire.strength_mpa)


def joint_holds_n(solder: Material, ring: Material, seat_mm: float) -> float | None:
    """Give the pull in N at which the solder round a ring's wire shears.

    The area in shear is half the wire's round over the length that is sunk into the seam: pi d / 2 x seat. None
    where the solder's strength or the thickness of the ring's wire is not given.
    """
    if solder.strength_mpa is None or not ring.wire_mm:
        return None
    return math.pi * ring.wire_mm / 2 * seat_mm * float(solder.strength_mpa)


def refuse_weak_hold(product: Product, what: str, holds_n: float | None, load_g: float, factor: Decimal) -> None:
    """Refuse a ring whose hold, named by ``what``, breaks below the load times the safety factor.

    Raises:
        MistakeError: it does.
    """
    needed_n = newtons(load_g) * float(factor)
    if holds_n is not None and holds_n < needed_n:
        raise MistakeError.at(
            product.source.place(product.line("hang")),
            wrong=f"the {what} holds about {holds_n:.0f} N, and {load_g:.0f} g with a safety factor of "
            f"{factor} ask for {needed_n:.0f} N",
            expected="a hold whose strength covers the load times the safety factor",
            mend="use two rings, a ring of thicker wire or more of it sunk into the seam, "
            "or lead a stiffening wire to the ring",
        )
