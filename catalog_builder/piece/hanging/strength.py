"""Strength: whether the solder round a ring or along a wire, and the wire, hold the load with the safety factor.

Checked only where the table gives a strength. Solder creeps: what it holds for an hour it does not hold for years,
so the row should give the strength for lasting loads. An estimate; for anything heavy, someone qualified decides.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
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
    section = wire.section_mm2 if wire.kind == "strip" else math.pi / 4 * wire.wire_mm**2
    return section * float(wire.strength_mpa)


def joint_holds_n(solder: Material, metal: Material, seat_mm: float) -> float | None:
    """Give the pull in N at which the solder round the wire of a ring, or along a wire, shears.

    The area in shear is half the wire's round over the length that is soldered: pi d / 2 x seat. None where the
    solder's strength or the thickness of the wire is not given.
    """
    if solder.strength_mpa is None or not metal.wire_mm:
        return None
    return math.pi * metal.wire_mm / 2 * seat_mm * float(solder.strength_mpa)


@dataclass(frozen=True, slots=True)
class Hold:
    """What holds a ring, by a name for it, the force in N at which it breaks, if known, and its load in g."""

    name: str
    holds_n: float | None
    load_g: float


def refuse_weak_hold(product: Product, hold: Hold, factor: Decimal, rings: int) -> None:
    """Refuse a hold that breaks below its load times the safety factor; ``rings`` is how many the piece has.

    Raises:
        MistakeError: it does.
    """
    needed_n = newtons(hold.load_g) * float(factor)
    if hold.holds_n is not None and hold.holds_n < needed_n:
        raise MistakeError.at(
            product.source.place(product.line("hang")),
            wrong=f"the {hold.name} holds about {hold.holds_n:.0f} N, and {hold.load_g:.0f} g with a safety factor of "
            f"{factor} ask for {needed_n:.0f} N",
            expected="a hold whose strength covers the load times the safety factor",
            mend=f"use {'two rings, ' if rings == 1 else ''}a ring of thicker wire or more of it sunk into the seam, "
            "or a stiffening wire that is soldered along more of the glass",
        )
