"""How a piece stands, or is held from below."""

from __future__ import annotations

from dataclasses import dataclass

from catalog_builder.piece.balance import Place
from catalog_builder.piece.standing.footprint import Footprint
from catalog_builder.piece.standing.tipping import Tipping
from catalog_builder.records.product import Down


@dataclass(frozen=True, slots=True)
class Stance:
    """How a piece of one size and glass stands, sticks in soil or is clipped on.

    ``down`` is the side of the main drawing that lies on the ground. ``height_mm`` goes from the ground, the soil or
    the edge that it is clipped to, up to its top; ``outer_mm`` are width, height and depth of all of it, with feet,
    rod or clip. ``footprint`` and ``tipping`` are of what stands. ``centre_mm`` is the centre of mass: to the right,
    above the ground and to the viewer. ``held_at`` is where a rod or clip is soldered to the lower rim, in the main
    drawing's plane. Of a rod ``soldered_mm`` lies on the piece, ``contact_mm`` of that along solder, and ``in_soil_mm``
    goes into the soil. ``wind_m_s`` is the wind, a mean of ten minutes, whose gusts tip it or bend its rod; None where
    it is kept indoors or that is not known.
    """

    down: Down
    height_mm: float
    outer_mm: tuple[float, float, float]
    centre_mm: tuple[float, float, float]
    footprint: Footprint | None = None
    tipping: Tipping | None = None
    held_at: Place | None = None
    soldered_mm: float = 0.0
    contact_mm: float = 0.0
    in_soil_mm: float = 0.0
    wind_m_s: float | None = None
