"""A pattern drawn as lines with the pieces' numbers, to stand in a page; parts lie flat beside each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from html import escape

import numpy as np
import shapely
from shapely import Polygon

from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.publish.pictures.frame_drawing import frame_lines
from catalog_builder.publish.pictures.svg_text import digits, path_of, path_of_area, path_of_line, view_box
from catalog_builder.records.material import Material

# The gap between two parts, in mm.
_APART_MM = 12.0
Box = tuple[float, float, float, float]


def diagram_svg(
    made_piece: MadePiece, suspension: Suspension, glass: Mapping[str, Material], words: tuple[str, str], identity: str
) -> str:
    """Draw the pattern of every part.

    ``words`` are its title and description; ``identity`` keeps its names apart from others on the page.
    """
    frames = list(_frames(made_piece, suspension))
    left, top, right, bottom = _around(frames)
    stroke = digits(max(right - left, bottom - top) / 220)
    parts, at = "", left
    for flat, frame in zip(made_piece.flats, frames, strict=True):
        marks = _part(flat, suspension if flat is made_piece.main else None, glass, stroke)
        shift = f'transform="translate({digits(at - frame[0])} {digits(top - frame[1])})"'
        parts += marks if flat is made_piece.main else f"<g {shift}>{marks}</g>"
        at += frame[2] - frame[0] + _APART_MM
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{view_box(left, top, right, bottom)}" role="img" '
        f'aria-labelledby="{identity}-title {identity}-text"><title id="{identity}-title">{escape(words[0])}</title>'
        f'<desc id="{identity}-text">{escape(words[1])}</desc>{parts}</svg>'
    )


def _frames(made_piece: MadePiece, suspension: Suspension) -> Iterator[Box]:
    """Give each flat's own box with white round it; the main one's holds the rings too."""
    for flat in made_piece.flats:
        left, top, right, bottom = flat.box
        if flat is made_piece.main:
            top = min([top, *(y - 1.2 * suspension.ring_mm for _, y in suspension.rings)])
        yield left - 3, top - 2, right + 3, bottom + 3


def _around(frames: list[Box]) -> Box:
    """Give the box of all parts beside each other; the first keeps its place."""
    left, top = frames[0][:2]
    width = sum(box[2] - box[0] for box in frames) + _APART_MM * (len(frames) - 1)
    return left, top, left + width, top + max(box[3] - box[1] for box in frames)


def _part(flat: FlatPart, suspension: Suspension | None, glass: Mapping[str, Material], stroke: str) -> str:
    pieces = "".join(
        f'<path d="{path_of_area(piece.face)}" fill="{glass[piece.glass].colour}" fill-opacity="0.28"/>'
        for piece in flat.pattern.pieces
    )
    lines = path_of(np.concatenate([flat.edges.seams, flat.edges.rims]))
    wires = "".join(path_of_line(wire.line) for wire in flat.pattern.wires)
    wires += frame_lines(flat.frame)
    numbers = "".join(
        _number(piece.number, cut.shape) for piece, cut in zip(flat.pattern.pieces, flat.cuts, strict=True)
    )
    joins = path_of(flat.joined)
    if joins:
        joins = f'<path d="{joins}" stroke-dasharray="3 2"/>'
    rings = ""
    if suspension is not None:
        radius = suspension.ring_mm / 2
        rings = "".join(
            f'<circle cx="{digits(x)}" cy="{digits(y - radius)}" r="{digits(radius)}"/>' for x, y in suspension.rings
        )
    return (
        f'{pieces}<g fill="none" stroke="currentColor" stroke-width="{stroke}" stroke-linejoin="round" '
        f'stroke-linecap="round"><path d="{lines}{wires}"/>{joins}{rings}</g>'
        f'<g fill="currentColor" text-anchor="middle" font-family="sans-serif">{numbers}</g>'
    )


def _number(number: str, shape: Polygon) -> str:
    """Write a piece's number where it has most room, no larger than it fits."""
    line = shapely.maximum_inscribed_circle(shape, 0.5)
    (x, y), radius = line.coords[0], line.length
    size = min(6.0, max(1.6, 1.5 * radius / max(1, len(number)) ** 0.5))
    return f'<text x="{digits(x)}" y="{digits(y + size * 0.36)}" font-size="{digits(size)}">{escape(number)}</text>'
