"""All that holds a ring: the solder round it, or each leg of the wire that carries it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

import numpy as np

from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.piece.balance import Place
from catalog_builder.piece.hanging.frame_rings import frame_holds
from catalog_builder.piece.hanging.strength import Hold, joint_holds_n, wire_holds_n
from catalog_builder.piece.hanging.wire_legs import REACH_MM, WireLeg, pulls_g, wire_legs
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.piece.rim_loop import RimLoop
from catalog_builder.records.material import Material
from catalog_builder.records.materials import Materials
from catalog_builder.records.studio import Making

# Loops of the piece at hand whose legs stay in memory.
_MOST_LOOPS = 4


def on_seam(piece: MadePiece, place: Place) -> bool:
    """Say whether the end of a seam carries a ring."""
    ends = piece.main.edges.seam_ends
    return bool(len(ends)) and float(np.hypot(*(ends - place).T).min()) <= REACH_MM


def ring_holds(
    piece: MadePiece, ring_at: Place, ring: Material, materials: Materials, making: Making, load_g: float
) -> Iterator[Hold]:
    """Give what holds a ring under a load, with the force at which it breaks.

    In the eye of a loop a ring is not soldered: each leg along the rim is taken to carry all of the load.
    """
    if piece.frame is not None:
        yield from frame_holds(piece.frame, piece.solder, ring, float(making.ring_seat_mm), load_g)
        return
    loop = next((loop for loop in piece.loops if loop.ring_at == ring_at), None)
    if loop is not None:
        legs, place = _loop_legs(piece.main, loop), loop.place
    else:
        place = ring_at
        legs = () if on_seam(piece, place) else wire_legs(piece.main.pattern, place) or ()
    soldered = not legs or any(leg.begins_at(place) for leg in legs)
    if soldered and (loop is None or not loop.has_eye):
        yield Hold("solder round the ring", joint_holds_n(piece.solder, ring, float(making.ring_seat_mm)), load_g)
    for leg, pull in zip(legs, pulls_g(legs, place, load_g) if legs else (), strict=True):
        wire = materials.rows[leg.material or making.wire]
        yield Hold("wire that the ring hangs on", wire_holds_n(wire), pull)
        yield Hold("solder along the ring's wire", joint_holds_n(piece.solder, wire, leg.contact_mm), pull)


@lru_cache(maxsize=_MOST_LOOPS)
def _loop_legs(flat: FlatPart, loop: RimLoop) -> tuple[WireLeg, ...]:
    """Give the legs of a loop on a flat, its eye left out. Following them takes time, and each ring in turn asks."""
    return wire_legs(replace(flat.pattern, wires=(loop.along,)), loop.place) or ()
