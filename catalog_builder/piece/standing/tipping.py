"""How far a piece can be tipped before it falls: its centre of mass comes to stand straight over an edge.

Source: equilibrium of a rigid body, as in OpenStax University Physics vol. 1, chapter 12.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from catalog_builder.piece.balance import Place
from catalog_builder.piece.standing.footprint import Footprint

Side = Literal["front", "back", "left", "right"]

# What stands on a table, and candle holders, are tested on a plane inclined by 10 degrees, where they must not turn
# over: IEC 60335-1, 20.1; ASTM F2601.
STEADY_DEGREES = 10.0


@dataclass(frozen=True, slots=True)
class Tipping:
    """Over which side a piece tips first, at how many degrees, and how far inside that edge its weight lies in mm.

    Below zero it falls of itself: its centre of mass lies outside of what it stands on.
    """

    degrees: float
    inside_mm: float
    side: Side


def tipping(on: Footprint, centre: Place, height_mm: float) -> Tipping:
    """Give how far a piece tips before it falls: tan(phi) = distance from the nearest edge / height of the centre.

    A cube on its base, its centre in the middle, tips at 45 degrees; 30 mm inside of an edge and 80 mm high: 20.556.
    ``centre`` is the centre of mass in the plane of the ground, ``height_mm`` how high it lies above it.
    """
    corners = np.array(on.corners)
    edges = np.roll(corners, -1, axis=0) - corners
    lengths = np.hypot(*edges.T)
    corners, edges = corners[lengths > 0], edges[lengths > 0] / lengths[lengths > 0, None]
    outward = np.stack([edges[:, 1], -edges[:, 0]], axis=1)
    # The corners may run either way round.
    middle = corners.mean(axis=0)
    if len(corners) and float(((corners - middle) * outward).sum()) < 0:
        outward = -outward
    inside = ((corners - np.array(centre)) * outward).sum(axis=1)
    if not len(inside):
        return Tipping(0.0, 0.0, "front")
    nearest = int(inside.round(6).argmin())
    across, deep = outward[nearest].tolist()
    distance = float(inside[nearest])
    return Tipping(math.degrees(math.atan2(distance, height_mm)), distance, _side(across, deep))


def _side(across: float, deep: float) -> Side:
    if abs(deep) >= abs(across):
        return "front" if deep > 0 else "back"
    return "right" if across > 0 else "left"
