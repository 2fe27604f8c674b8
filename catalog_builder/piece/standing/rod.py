"""A piece that sticks in soil on a rod: how it stands, how hard its weight bends the rod, and what wind does.

All lengths are mm, masses g.
"""

from __future__ import annotations

import math

from catalog_builder.mistake import MistakeError
from catalog_builder.piece.hanging.strength import Hold, joint_holds_n, newtons, refuse_weak_hold
from catalog_builder.piece.hanging.wind import GALE_M_S, push_n
from catalog_builder.piece.standing.held_place import contact_mm, held_place
from catalog_builder.piece.standing.stance import Stance
from catalog_builder.piece.standing.tipping import STEADY_DEGREES
from catalog_builder.piece.standing.weighed_piece import WeighedPiece
from catalog_builder.records.material import Material
from catalog_builder.records.product import Product

# How much of a rod is soldered to a piece: common practice, no source.
SOLDERED_MM = 30.0


def bending_holds_nmm(rod: Material) -> float | None:
    """Give the moment in N mm at which a round rod breaks: pi d^3 / 32 x strength; None where that is not known.

    The section modulus of a round bar, as in any table of sections: 3 mm and 400 MPa give 1060.3 N mm.
    """
    if rod.strength_mpa is None:
        return None
    return math.pi / 32 * rod.wire_mm**3 * float(rod.strength_mpa)


def leaning_nmm(mass_g: float, aside_mm: float, above_mm: float) -> float:
    """Give the moment in N mm at the soil of a piece that has come to lean by ``STEADY_DEGREES``.

    ``aside_mm`` is how far its centre of mass lies from the rod, ``above_mm`` how high above the soil.
    """
    return newtons(mass_g) * (aside_mm + above_mm * math.sin(math.radians(STEADY_DEGREES)))


def on_rod(piece: WeighedPiece, usual: str) -> tuple[Stance, Material, float]:
    """Hold a piece by a rod that is soldered up from its lower rim: its stance, the rod and the rod's length.

    ``usual`` is the studio's wire, for a record that names none.

    Raises:
        MistakeError: no seam ends there, or the rod is too short or too weak.
    """
    product, body, glass_mm = piece.product, piece.body, piece.glass_mm
    hang, at = product.keys.hang, held_place(product, piece.made, body)
    rod = piece.stock.materials.rows[hang.material or usual]
    length, soldered = float(hang.length or 0), float(hang.soldered or SOLDERED_MM)
    in_soil = float(hang.in_soil) if hang.in_soil is not None else length / 3
    _refuse_short(product, length, soldered, in_soil, glass_mm[1])
    free = length - soldered - in_soil
    under = piece.made.main.box[3] - at[1]
    above = at[1] - body.centre[1] + free
    contact = contact_mm(piece.made, at, soldered)
    factor = piece.stock.safety_factor
    hold = Hold("solder along the rod", joint_holds_n(piece.made.solder, rod, contact), body.mass_g)
    refuse_weak_hold(product, hold, factor, 2)
    bent = leaning_nmm(body.mass_g, math.hypot(body.centre[0] - at[0], body.forward), above)
    holds = bending_holds_nmm(rod)
    if holds is not None:
        _refuse_thin(product, rod, holds, bent * float(factor))
    gale = push_n(piece.area_mm2) * above
    wind = GALE_M_S * math.sqrt(holds / gale) if hang.outdoors and holds is not None else None
    stance = Stance(
        down="bottom",
        height_mm=glass_mm[1] + max(0.0, free - under),
        outer_mm=(glass_mm[0], glass_mm[1] + length - soldered - under, max(glass_mm[2], rod.wire_mm)),
        centre_mm=(body.centre[0] - at[0], above, body.forward),
        held_at=at,
        soldered_mm=soldered,
        contact_mm=contact,
        in_soil_mm=in_soil,
        wind_m_s=wind,
    )
    return stance, rod, length


def _refuse_short(product: Product, length: float, soldered: float, in_soil: float, height: float) -> None:
    """Refuse a rod with nothing between the piece and the soil, and one that is soldered to more than there is."""
    if soldered > height:
        raise MistakeError.at(
            product.source.place(product.line("hang", "soldered")),
            wrong=f"{soldered:.0f} mm of the rod cannot be soldered to a piece {height:.0f} mm high",
            expected="no more than the piece is high",
            mend="write a smaller `soldered` under `hang:`",
        )
    if length <= soldered + in_soil:
        raise MistakeError.at(
            product.source.place(product.line("hang", "length")),
            wrong=f"the rod of {length:.0f} mm is too short: {soldered:.0f} mm are soldered to the piece and "
            f"{in_soil:.0f} mm go into the soil",
            expected="a rod that is longer than what is soldered and what goes into the soil together",
            mend="give a greater `length`, or less `soldered` or `in_soil`",
        )


def _refuse_thin(product: Product, rod: Material, holds_nmm: float, needed_nmm: float) -> None:
    """Refuse a rod that bends for good under the piece, once it leans a little."""
    if holds_nmm < needed_nmm:
        raise MistakeError.at(
            product.source.place(product.line("hang", "material")),
            wrong=f"the rod {rod.material!r} of {rod.wire_mm:.1f} mm is too thin: with the safety factor it must hold "
            f"{needed_nmm:.0f} N mm where it leaves the soil, and holds {holds_nmm:.0f}",
            expected="a rod whose strength covers its piece, leaning a little, times the safety factor",
            mend="take a thicker rod (`material:` under `hang:`, a wire of materials.csv), or a shorter one",
        )
