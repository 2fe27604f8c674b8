"""Rings: where they sit, each held to the end of a seam or a wire; or a place that is proposed."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from shapely import Point

from catalog_builder.mistake import Mistake, MistakeError
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.piece.mass import Body
from catalog_builder.records.product import Product

# How far from a seam's end or a wire a ring may be drawn and still be meant there.
REACH_MM = 1.5

Place = tuple[float, float]


def ring_places(product: Product, made: MadePiece, body: Body) -> tuple[Place, ...]:
    """Give the places of the rings, from the left, in the main drawing's plane, mm.

    Raises:
        MistakeError: a ring hangs on the foil of one piece alone, there are more than two, there is no place
            for one, or the piece would turn over or swing round.
    """
    rings = made.main.pattern.rings
    mistakes = [*_ill_placed(product, made)]
    if len(rings) > 2:
        mistakes.append(
            Mistake(
                place=product.place_of(max(ring.row for ring in rings)),
                wrong=f"there are {len(rings)} rings",
                expected="one ring or two",
                mend="keep the two that carry the piece",
            )
        )
    if mistakes:
        raise MistakeError(mistakes)
    places = tuple((ring.x, ring.y) for ring in rings) or (_proposed(product, made, body),)
    _refuse_turning(product, made, places, body)
    return places


def on_wire(made: MadePiece, place: Place) -> str | None:
    """Give the material of the wire that carries a ring, empty for the studio's usual one; None: a seam carries it."""
    wires = made.main.pattern.wires
    near = next((wire for wire in wires if wire.line.distance(Point(*place)) <= REACH_MM), None)
    return None if near is None or _off_seams(made, place) <= REACH_MM else near.material or ""


def _off_seams(made: MadePiece, place: Place) -> float:
    """Give the distance in mm from a place to the nearest end of a seam."""
    ends = made.main.edges.seam_ends
    return float(np.hypot(*(ends - place).T).min()) if len(ends) else float("inf")


def _proposed(product: Product, made: MadePiece, body: Body) -> Place:
    """Give the end of a seam above the centre of mass that lies nearest to straight above it."""
    ends = made.main.edges.seam_ends
    above = ends[ends[:, 1] < body.centre[1]] if len(ends) else ends
    if not len(above):
        raise MistakeError(
            [
                Mistake(
                    place=product.place_of(None),
                    wrong="no seam meets the rim above the centre of mass, so there is no place for a ring",
                    expected="a seam that ends on the rim, or a wire, near the top",
                    mend="lead a seam to the top of the design, or draw a wire with a ring on it",
                )
            ]
        )
    best = above[np.lexsort((above[:, 1], np.abs(above[:, 0] - body.centre[0]).round(1)))[0]]
    return float(best[0]), float(best[1])


def _ill_placed(product: Product, made: MadePiece) -> Iterator[Mistake]:
    """Tell rings that hang on the foil of one piece alone."""
    ends, scale = made.main.edges.seam_ends, made.main.pattern.scale
    for ring in made.main.pattern.rings:
        x, y = ring.x, ring.y
        held = any(wire.line.distance(Point(x, y)) <= REACH_MM for wire in made.main.pattern.wires)
        if held or _off_seams(made, (x, y)) <= REACH_MM:
            continue
        near = ends[int(np.hypot(*(ends - (x, y)).T).argmin())] / scale if len(ends) else None
        yield Mistake(
            place=product.place_of(ring.row),
            wrong=f"the ring at x {x / scale:.1f}, y {y / scale:.1f} hangs on the foil of one piece alone, "
            "which would lift off",
            expected="a ring where a seam meets the rim, or on a wire",
            mend="draw a wire for it"
            if near is None
            else f"the nearest good place is x {near[0]:.1f}, y {near[1]:.1f}",
            spot=(x / scale, y / scale),
        )


def _refuse_turning(product: Product, made: MadePiece, rings: tuple[Place, ...], body: Body) -> None:
    x, y = body.centre
    wrong = None
    low = next((index for index, ring in enumerate(rings) if ring[1] >= y), 0)
    if rings[low][1] >= y:
        wrong = "the centre of mass is not below the ring, so that the piece would turn over"
    elif len(rings) == 2 and not rings[0][0] < x < rings[1][0]:
        wrong = "the centre of mass is not between the two rings, so that the piece would swing round"
    if wrong is not None:
        pattern = made.main.pattern
        centre = f"x {x / pattern.scale:.1f}, y {y / pattern.scale:.1f} of the drawing"
        raise MistakeError(
            [
                Mistake(
                    place=product.place_of(pattern.rings[low].row if pattern.rings else None),
                    wrong=f"{wrong}: it lies at {centre}",
                    expected="rings above the centre of mass, one on each side of it where there are two",
                    mend="move the ring to a seam's end higher up, or nearer to the middle",
                )
            ]
        )
