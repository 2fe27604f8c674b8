"""Strength: whether the solder round a ring, and a wire that carries one, hold the load with the safety factor.

Checked only where the table gives a strength. Solder creeps: what it holds for an hour it does not hold for years,
so the row should give the strength for lasting loads. An estimate; for anything heavy, someone qualified decides.
"""

from __future__ import annotations

import math

from catalog_builder.records.material import Material

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
