"""Rings: each is soldered at the end of a seam or to a wire; elsewhere it is refused, with a better place."""

from __future__ import annotations

import math
from collections.abc import Iterator

from catalog_builder.mistake import Mistake, MistakeError, Mistakes
from catalog_builder.piece.balance import Place, tilt_degrees
from catalog_builder.piece.hanging.frame_rings import frame_ring_places
from catalog_builder.piece.hanging.loops import loop_at
from catalog_builder.piece.hanging.record_lines import keys_of_loop
from catalog_builder.piece.hanging.rim_way import nearest_on_rim, top_of_rim
from catalog_builder.piece.hanging.ring_choice import best_singles, hangs_level, level_pairs, places_above
from catalog_builder.piece.hanging.ring_holds import on_seam
from catalog_builder.piece.hanging.wire_legs import REACH_MM, is_held, wire_legs
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.piece.mass import Body
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.product import Product


def ring_places(product: Product, piece: MadePiece, body: Body) -> tuple[Place, ...]:
    """Give the places of the rings, from the left, in the main drawing's plane, mm.

    Raises:
        MistakeError: a ring, or the wire that carries it, is held by the foil of one piece alone; there are more
            than two, there is no place for one, or the piece would turn over or swing round.
    """
    rings, frame = piece.main.pattern.rings, piece.main.frame
    mistakes = Mistakes(() if piece.loops or frame is not None else _on_foil_alone(product, piece, body))
    if len(rings) > 2:
        mistakes.add(
            product.place_of(max(ring.row for ring in rings)),
            wrong=f"there are {len(rings)} rings",
            expected="one ring or two",
            mend="keep the two that carry the piece",
        )
    mistakes.raise_if_any()
    if frame is not None:
        places = frame_ring_places(product, piece, frame, body)
    else:
        places = tuple(loop.ring_at for loop in piece.loops) or tuple((ring.x, ring.y) for ring in rings)
        places = places or (_proposed(product, piece, body),)
    _refuse_turning(product, piece, places, body)
    return places


def _proposed(product: Product, piece: MadePiece, body: Body) -> Place:
    """Give the end of a seam on which the piece hangs nearest to level."""
    best = best_singles(piece, body)
    if not best:
        raise MistakeError.at(
            product.place_of(None),
            wrong="no seam meets the rim above the centre of mass, and no glass is straight above it, so there is no "
            "place for a ring",
            expected="a seam that ends on the rim, or a wire, near the top",
            mend="lead a seam to the top of the design, or draw a wire with a ring on it",
        )
    return best[0]


def _on_foil_alone(product: Product, piece: MadePiece, body: Body) -> Iterator[Mistake]:
    """Find rings on the foil of one piece alone, whose glue does not hold a load: common practice, no source."""
    scale = piece.main.pattern.scale
    for ring in piece.main.pattern.rings:
        x, y = ring.x, ring.y
        legs = wire_legs(piece.main.pattern, (x, y))
        if on_seam(piece, (x, y)) or (legs is not None and is_held(legs, (x, y))):
            continue
        expected = "a ring where a seam meets the rim, or on a wire whose two ends are soldered"
        if legs is not None:
            held = "with one end free" if legs else "that is soldered to no more than one piece and would lift off"
            wrong = f"hangs on a wire {held}"
            mend = "solder both ends along a seam, or along the rim over a seam's end"
        else:
            wrong = "hangs on the foil of one piece alone, which would lift off"
            mend = "; or ".join(_better(product, piece, body, (x, y))) or "draw a wire for it"
        yield Mistake(
            place=product.place_of(ring.row),
            wrong=f"the ring at x {x / scale:.1f}, y {y / scale:.1f} {wrong}",
            expected=expected,
            mend=mend,
            spot=(x / scale, y / scale),
        )


def _better(product: Product, piece: MadePiece, body: Body, ring: Place) -> Iterator[str]:
    """Say where else a ring can be: at the nearest seam end, where the piece hangs level, or on a wire there."""
    scale, ends = piece.main.pattern.scale, places_above(piece, body)
    alone = len(piece.main.pattern.rings) == 1
    if ends:
        near = min(ends, key=lambda end: math.dist(end, ring))
        yield f"the nearest good place is {_drawn(near, scale)}{_tilted(near, body) if alone else ''}"
        if not alone or [near] != best_singles(piece, body)[:1]:
            yield from _level(product, piece, body)
    if math.dist(nearest_on_rim(piece.main, ring), ring) <= REACH_MM and ring[1] < body.centre[1]:
        keys = keys_of_loop(loop_at(piece, product, ring), piece.main.pattern, product.keys.hang.by)
        lines = keys.without_rings.sentence(product)
        tilted = _tilted(ring, body) if alone else ""
        yield f"keep it there on a wire along the rim{tilted}: write {lines} into the record"


def _level(product: Product, piece: MadePiece, body: Body) -> Iterator[str]:
    """Say on which places the piece hangs level: two where two rings are marked, else one, if need be on a wire."""
    scale, singles = piece.main.pattern.scale, best_singles(piece, body)
    top = None if hangs_level(piece, body) else top_of_rim(piece.main, body.centre[0])
    pairs = level_pairs(piece, product, body) if len(piece.main.pattern.rings) > 1 else []
    if pairs:
        left, right = pairs[0]
        yield f"two rings hang it level at {_drawn(left, scale)} and {_drawn(right, scale)}"
    elif top is not None and top[1] < body.centre[1]:
        loop = " with `by: loop`" if product.keys.hang.by in (HardwareKind.RING, HardwareKind.LOOP) else ""
        yield f"one ring hangs it level at {_drawn(top, scale)}, on a wire along the rim{loop}"
    elif singles:
        yield f"one ring hangs it nearest to level at {_drawn(singles[0], scale)}{_tilted(singles[0], body)}"


def _drawn(place: Place, scale: float) -> str:
    return f"x {place[0] / scale:.1f}, y {place[1] / scale:.1f}"


def _tilted(place: Place, body: Body) -> str:
    tilt = abs(tilt_degrees(place, body.centre))
    return f" (tilted by {tilt:.1f} degrees)" if round(tilt, 1) else " (level)"


def _refuse_turning(product: Product, piece: MadePiece, rings: tuple[Place, ...], body: Body) -> None:
    """Refuse rings below the centre of mass, where it would swing up and over, and two on the same side of it."""
    x, y = body.centre
    lowest = max(range(len(rings)), key=lambda index: rings[index][1])
    if rings[lowest][1] >= y:
        wrong = "the centre of mass is not below the ring, so that the piece would turn over"
    elif len(rings) == 2 and not rings[0][0] < x < rings[1][0]:
        wrong = "the centre of mass is not between the two rings, so that the piece would swing round"
    else:
        return
    pattern = piece.main.pattern
    if piece.frame is not None:
        mends = ["move the rings up along the frame, or to both sides of it"]
    else:
        mends = ["move the ring to a seam's end higher up, or nearer to the middle", *_level(product, piece, body)]
    raise MistakeError.at(
        product.place_of(pattern.rings[lowest].row if pattern.rings else None),
        wrong=f"{wrong}: it lies at {_drawn((x, y), pattern.scale)} of the drawing",
        expected="rings above the centre of mass, one on each side of it where there are two",
        mend="; ".join(mends),
    )
