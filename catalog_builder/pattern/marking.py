"""Marks that a record sets, so that the drawing itself can stay plain."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from catalog_builder.pattern.svg.curve import Straight, Subpath
from catalog_builder.pattern.svg.drawing import Drawing
from catalog_builder.pattern.svg.mark import Mark
from catalog_builder.records.product import Product


def with_marks(drawing: Drawing, product: Product, part: str = "") -> Drawing:
    """Add a record's marks to a drawing of it; where both mark one piece, the record's mark counts.

    The fold and the rings of a record stand in place of those that are drawn. ``part`` names the part whose drawing
    it is; it is empty for the main one.
    """
    own = tuple(_marks(product, part))
    replaced = {mark.kind for mark in own} & {"fold", "ring"}
    drawn = (mark for mark in drawing.marks if mark.kind not in replaced)
    return replace(drawing, marks=(*own, *drawn), record=product.source)


def _marks(product: Product, part: str) -> Iterator[Mark]:
    marks = product.keys.parts[part].marks if part else product.keys.marks
    within = ("parts", part, "marks") if part else ("marks",)

    def line(*path: str | int) -> int:
        # Below zero: a line of the record, not of the drawing, which may be a file of its own.
        return -(product.line(*within, *path) or 1)

    if marks.fold is not None:
        points = np.array(marks.fold).reshape(2, 2)
        yield Mark("fold", (Subpath((Straight(points),), closed=False),), line("fold"))
    for index, ring in enumerate(marks.rings):
        yield Mark("ring", (), line("rings", index), at=ring)
    for index, field in enumerate(marks.open):
        yield Mark("open", (), line("open", index), at=field)
    for index, wire in enumerate(marks.wires):
        run = Subpath((Straight(np.array(wire.points)),), closed=False)
        yield Mark("wire", (run,), line("wires", index), material=wire.material)
    for index, piece in enumerate(marks.pieces):
        where = line("pieces", index)
        yield Mark("label", (), where, number=piece.number, glass=piece.glass, grain=piece.grain, at=piece.at)
    for index, join in enumerate(marks.joins):
        run = Subpath((Straight(np.array(join.line).reshape(2, 2)),), closed=False)
        yield Mark("join", (run,), line("joins", index), part=join.part)
