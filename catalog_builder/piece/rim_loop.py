"""A wire along the rim that carries a ring where no seam meets it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from shapely import LineString

from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.pattern.unfolding import Wire
from catalog_builder.piece.balance import Place

# How high an eye stands on the rim: common practice, no source.
EYE_MM = 5.0
_EYE_CORNERS = 24
# The main flats of the products that stay in memory, each with its loops.
_MOST_FLATS = 4


@dataclass(frozen=True, slots=True)
class RimLoop:
    """A wire along the rim, in the main drawing's plane, mm.

    ``place`` is where it carries its ring, ``points`` the way along the rim; with ``has_eye`` it is bent up to a round
    eye there. ``material`` is empty for the studio's usual wire.
    """

    place: Place
    points: tuple[Place, ...]
    has_eye: bool
    material: str = ""

    @property
    def ring_at(self) -> Place:
        """Where the ring sits: at the top of the eye, or on the wire."""
        x, y = self.place
        return (x, y - EYE_MM) if self.has_eye else self.place

    @property
    def along(self) -> Wire:
        """The wire along the rim; its line of the file is 0, as nobody drew it."""
        return Wire(LineString(self.points), self.material or None, 0)

    @property
    def wires(self) -> tuple[Wire, ...]:
        """The wire along the rim, and the round of the eye."""
        if not self.has_eye:
            return (self.along,)
        (x, y), radius = self.place, EYE_MM / 2
        turns = [2 * math.pi * step / _EYE_CORNERS for step in range(_EYE_CORNERS)]
        corners = [(x + radius * math.sin(turn), y - radius + radius * math.cos(turn)) for turn in turns]
        return self.along, Wire(LineString([*corners, corners[0]]), self.material or None, 0)

    @property
    def length_mm(self) -> float:
        """The length of wire that it takes."""
        return float(sum(wire.line.length for wire in self.wires))


@lru_cache(maxsize=_MOST_FLATS)
def looped(flat: FlatPart, loops: tuple[RimLoop, ...]) -> FlatPart:
    """Give a flat with its loops among its wires; the same one each time, as drawings tell flats apart by identity."""
    wires = tuple(wire for loop in loops for wire in loop.wires)
    return replace(flat, pattern=replace(flat.pattern, wires=(*flat.pattern.wires, *wires)))
