"""The wires along the rim that carry a piece's rings: those that the record asks for, or one where no seam serves."""

from __future__ import annotations

from functools import partial

from catalog_builder.mistake import Mistakes
from catalog_builder.piece.balance import Place
from catalog_builder.piece.hanging.rim_way import nearest_on_rim, top_of_rim, way_along_rim
from catalog_builder.piece.hanging.ring_choice import hangs_level
from catalog_builder.piece.hanging.ring_marks import RingLine
from catalog_builder.piece.hanging.wire_legs import REACH_MM
from catalog_builder.piece.made_piece import MadePiece, with_loops
from catalog_builder.piece.mass import weigh_piece
from catalog_builder.piece.rim_loop import RimLoop
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Making

# A loop weighs little, so that each round brings it ten times nearer to straight above the weight, or more.
_ROUNDS = 6
_NEAR_MM = 0.001


def with_rim_loops(piece: MadePiece, product: Product, materials: Materials, making: Making) -> MadePiece:
    """Give a piece the wires along the rim that carry its rings; most pieces have none.

    They carry the rings where the record says ``by: loop``, and the one ring of a record that marks none where no end
    of a seam lets the piece hang level.

    Raises:
        MistakeError: the record asks for a loop at a place that is not on the rim.
    """
    if piece.frame is not None:
        return piece  # the frame carries its rings
    rings, by = piece.main.pattern.rings, product.keys.hang.by
    if rings and by is HardwareKind.LOOP:
        rim = RingLine(
            "the rim",
            "where a loop is soldered",
            "a ring on the outer rim",
            partial(nearest_on_rim, piece.main),
            REACH_MM,
        )
        Mistakes(rim.rings_off(product, piece.main.pattern)).raise_if_any()
        return with_loops(piece, tuple(loop_at(piece, product, (ring.x, ring.y)) for ring in rings))
    if rings:
        return piece
    body = weigh_piece(piece, product, materials, making)
    if by is not HardwareKind.LOOP and hangs_level(piece, body):
        return piece
    loop = level_loop(piece, product, materials, making)
    return piece if loop is None else with_loops(piece, (loop,))


def loop_at(piece: MadePiece, product: Product, place: Place) -> RimLoop:
    """Give the wire along the rim that carries a ring at the place of the rim nearest to ``place``.

    Where a hook, cord or chain holds the ring, the wire has no eye: the ring is soldered to it.
    """
    hang = product.keys.hang
    on_rim = nearest_on_rim(piece.main, place)
    has_eye = hang.by in (HardwareKind.RING, HardwareKind.LOOP)
    material = hang.material if hang.by is HardwareKind.LOOP else None
    return RimLoop(on_rim, way_along_rim(piece.main, on_rim), has_eye, material or "")


def level_loop(piece: MadePiece, product: Product, materials: Materials, making: Making) -> RimLoop | None:
    """Give the wire that carries a ring on the rim straight above the centre of mass, its own mass counted.

    None where no glass is straight above it.
    """
    looped, loop = with_loops(piece, ()), None
    for _ in range(_ROUNDS):
        x, y = weigh_piece(looped, product, materials, making).centre
        top = top_of_rim(looped.main, x)
        if top is None or top[1] >= y:
            return None
        if loop is not None and abs(loop.place[0] - x) < _NEAR_MM:
            break
        loop = loop_at(looped, product, top)
        looped = with_loops(looped, (loop,))
    return loop
