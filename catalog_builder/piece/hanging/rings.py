"""Rings: where they sit, each held to the end of a seam or a wire; or a place that is proposed."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from catalog_builder.mistake import Mistake, MistakeError, Mistakes
from catalog_builder.piece.balance import Place
from catalog_builder.piece.hanging.wire_legs import REACH_MM, is_held, wire_legs
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.piece.mass import Body
from catalog_builder.records.product import Product


def ring_places(product: Product, piece: MadePiece, body: Body) -> tuple[Place, ...]:
    """Give the places of the rings, from the left, in the main drawing's plane, mm.

    Raises:
        MistakeError: a ring, or the wire that carries it, is held by the foil of one piece alone; there are more
            than two, there is no place for one, or the piece would turn over or swing round.
    """
    rings = piece.main.pattern.rings
    mistakes = Mistakes(_on_foil_alone(product, piece))
    if len(rings) > 2:
        mistakes.add(
            product.place_of(max(ring.row for ring in rings)),
            wrong=f"there are {len(rings)} rings",
            expected="one ring or two",
            mend="keep the two that carry the piece",
        )
    mistakes.raise_if_any()
    places = tuple((ring.x, ring.y) for ring in rings) or (_proposed(product, piece, body),)
    _refuse_turning(product, piece, places, body)
    return places


def on_seam(piece: MadePiece, place: Place) -> bool:
    """Say whether the end of a seam carries a ring."""
    return _off_seams_mm(piece, place) <= REACH_MM


def _off_seams_mm(piece: MadePiece, place: Place) -> float:
    """Give the distance in mm from a place to the nearest end of a seam."""
    ends = piece.main.edges.seam_ends
    return float(np.hypot(*(ends - place).T).min()) if len(ends) else float("inf")


def _proposed(product: Product, piece: MadePiece, body: Body) -> Place:
    """Give the end of a seam above the centre of mass that lies nearest to straight above it."""
    ends = piece.main.edges.seam_ends
    above = ends[ends[:, 1] < body.centre[1]] if len(ends) else ends
    if not len(above):
        raise MistakeError.at(
            product.place_of(None),
            wrong="no seam meets the rim above the centre of mass, so there is no place for a ring",
            expected="a seam that ends on the rim, or a wire, near the top",
            mend="lead a seam to the top of the design, or draw a wire with a ring on it",
        )
    # Of ends that are as near to a tenth of a mm, the highest: the lower the weight hangs, the less it tilts.
    nearest = above[np.lexsort((above[:, 1], np.abs(above[:, 0] - body.centre[0]).round(1)))[0]]
    return float(nearest[0]), float(nearest[1])


def _on_foil_alone(product: Product, piece: MadePiece) -> Iterator[Mistake]:
    """Find rings on the foil of one piece alone, whose glue does not hold a load: common practice, no source."""
    ends, scale = piece.main.edges.seam_ends, piece.main.pattern.scale
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
            mend = "draw a wire for it"
            if len(ends):
                near = ends[int(np.hypot(*(ends - (x, y)).T).argmin())] / scale
                mend = f"the nearest good place is x {near[0]:.1f}, y {near[1]:.1f}"
        yield Mistake(
            place=product.place_of(ring.row),
            wrong=f"the ring at x {x / scale:.1f}, y {y / scale:.1f} {wrong}",
            expected=expected,
            mend=mend,
            spot=(x / scale, y / scale),
        )


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
    centre = f"x {x / pattern.scale:.1f}, y {y / pattern.scale:.1f} of the drawing"
    raise MistakeError.at(
        product.place_of(pattern.rings[lowest].row if pattern.rings else None),
        wrong=f"{wrong}: it lies at {centre}",
        expected="rings above the centre of mass, one on each side of it where there are two",
        mend="move the ring to a seam's end higher up, or nearer to the middle",
    )
