"""What holds a subject: rings and what they hang by, feet, a rod in soil, and the frame round it."""

from __future__ import annotations

from dataclasses import dataclass

from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product

Place = tuple[float, float]
# The metal of a channel by the first element of its alloy.
METAL_OF = {"Zn": "zinc", "Pb": "lead", "Cu": "brass"}


@dataclass(frozen=True, slots=True)
class Held:
    """What holds a subject: ``by`` is the record's word for it, ``rings`` lie in its main drawing.

    ``ring_mm`` is how far a ring rises; ``hanger_mm`` the height of a hook or the whole length of cord or chain,
    0 where there is none. What stands may have ``feet``: lines of one place or two, to the right and forward, and
    ``foot_mm`` high, of ``brass`` or with the finish of the solder; ``down`` is the side of the main drawing that lies
    on the ground; ``lit`` has a tealight burning in it. What sticks in soil has a ``rod`` behind its glass, ``rod_mm``
    thick, from its upper to its lower end, and the soil at the height ``earth_mm`` of the main drawing.
    """

    by: str
    rings: tuple[Place, ...] = ()
    ring_mm: float = 5.0
    hanger_mm: float = 0.0
    feet: tuple[tuple[Place, ...], ...] = ()
    foot_mm: float = 0.0
    foot_wide_mm: float = 6.0
    brass: bool = False
    down: str = "bottom"
    lit: bool = False
    rod: tuple[Place, Place] | None = None
    rod_mm: float = 2.0
    earth_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Border:
    """A frame round a flat subject: ``wood`` or a metal; it covers ``covers_mm`` of the panel's edge."""

    made_of: str
    wide_mm: float
    deep_mm: float
    covers_mm: float


def held_of(product: Product, hung: Suspension) -> Held:
    """Give what holds a product, as its record says and its hanging or standing was worked out."""
    hang, by, hanger = product.keys.hang, str(hung.hung_by), hung.hanger
    high = float(hanger.length_mm or 0) if hanger is not None else 0.0
    stance = hung.stance
    if stance is None:
        return Held(by, hung.rings, hung.ring_mm or 5.0, hung.hanger_mm or high)
    if stance.held_at is not None and hung.hanger_mm and hanger is not None:
        x, y = stance.held_at
        upper = y - stance.soldered_mm
        lower = upper + hung.hanger_mm
        soil = lower - stance.in_soil_mm
        return Held(by, rod=((x, upper), (x, lower)), rod_mm=hanger.wire_mm, earth_mm=soil)
    feet = stance.footprint.feet if stance.footprint is not None else ()
    wide = float(hanger.diameter_mm or 6) if hanger is not None else 6.0
    lit = hang.tealight
    brass = hanger is not None and "brass" in hanger.title.lower()
    low = high if feet else 0.0
    return Held(by, feet=feet, foot_mm=low, foot_wide_mm=wide, brass=brass, down=stance.down, lit=lit)


def border_of(product: Product, materials: Materials) -> Border | None:
    """Give the frame that a record puts round a panel, if any."""
    frame = product.keys.frame
    if frame is None:
        return None
    row = materials.rows[frame.material]
    made_of = "wood" if row.kind == "moulding" else METAL_OF.get((row.alloy or "Zn")[:2], "zinc")
    return Border(made_of, float(row.width_mm or 12), float(row.thickness_mm or 8), row.covers_mm)
