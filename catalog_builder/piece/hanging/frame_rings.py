"""Rings on a frame: they sit on its outer edge, wherever along it they are drawn."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from shapely import LineString

from catalog_builder.mistake import Mistakes
from catalog_builder.pattern.framing.frame import Frame
from catalog_builder.piece.balance import Place
from catalog_builder.piece.framed_rim import FramedRim
from catalog_builder.piece.hanging.rim_way import nearest_on
from catalog_builder.piece.hanging.ring_marks import RingLine
from catalog_builder.piece.hanging.strength import Hold, joint_holds_n
from catalog_builder.piece.hanging.wire_legs import REACH_MM
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.piece.mass import Body
from catalog_builder.records.material import Material
from catalog_builder.records.product import Product

# Two bars go up from the lower part of a frame to where it hangs, and part the load.
_BARS_UP = 2


def frame_ring_places(product: Product, piece: MadePiece, frame: Frame, body: Body) -> tuple[Place, ...]:
    """Give the places of the rings, from the left: of each that is marked, the nearest on the frame's outer edge.

    Where none is marked there is one ring, straight above the centre of mass.

    Raises:
        MistakeError: a ring is marked neither on the frame nor at the rim under it.
    """
    pattern, edge = piece.main.pattern, frame.outside.exterior
    reach = frame.outside.exterior.distance(frame.light.exterior) + REACH_MM
    if not pattern.rings:
        return (_above(frame, body),)
    outside = RingLine(
        "the frame",
        "which carries the piece",
        "rings at the rim, over which the frame sits",
        partial(nearest_on, edge),
        reach,
    )
    Mistakes(outside.rings_off(product, pattern)).raise_if_any()
    return tuple(sorted(nearest_on(edge, (ring.x, ring.y)) for ring in pattern.rings))


def _above(frame: Frame, body: Body) -> Place:
    x, (_, top, _, bottom) = body.centre[0], frame.outside.bounds
    crossed = frame.outside.exterior.intersection(LineString([(x, top - 1), (x, bottom + 1)]))
    return x, float(crossed.bounds[1])


def frame_holds(framed: FramedRim, solder: Material, ring: Material, seat_mm: float, load_g: float) -> Iterator[Hold]:
    """Give what holds a ring on a frame of metal: the solder round it, and the soldered corners.

    The glass rests on the lower bars, so that each of two corners carries half of the load. A corner is taken to hold
    by the section of the came alone, with the lower strength of came and solder. What a screw holds in wood is
    its own rated load.
    """
    if framed.material.kind != "came":
        return
    yield Hold("solder round the ring", joint_holds_n(solder, ring, seat_mm), load_g)
    strengths = [float(metal.strength_mpa) for metal in (solder, framed.material) if metal.strength_mpa is not None]
    holds = framed.material.section_mm2 * min(strengths) if strengths else None
    yield Hold("corner of the frame", holds, load_g / _BARS_UP)
