"""Marks that a record sets, so that the drawing itself can stay plain."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from catalog_builder.pattern.curve import Run, Straight
from catalog_builder.pattern.drawing import Drawing, Mark
from catalog_builder.records.product import Product


def with_marks(drawing: Drawing, product: Product) -> Drawing:
    """Add a record's marks to its drawing; they go before the drawing's own where the two speak of one piece."""
    return replace(drawing, marks=(*_marks(product), *drawing.marks), record=product.source)


def _marks(product: Product) -> Iterator[Mark]:
    marks = product.keys.marks

    def line(*path: str | int) -> int:
        # Below zero: a line of the record, not of the drawing, which may be a file of its own.
        return -(product.line("marks", *path) or 1)

    if marks.fold is not None:
        points = np.array(marks.fold).reshape(2, 2)
        yield Mark("fold", (Run((Straight(points),), closed=False),), line("fold"))
    for index, ring in enumerate(marks.rings):
        yield Mark("ring", (), line("rings", index), at=ring)
    for index, spot in enumerate(marks.open):
        yield Mark("open", (), line("open", index), at=spot)
    for index, wire in enumerate(marks.wires):
        run = Run((Straight(np.array(wire.points)),), closed=False)
        yield Mark("wire", (run,), line("wires", index), material=wire.material)
    for index, piece in enumerate(marks.pieces):
        where = line("pieces", index)
        yield Mark("label", (), where, number=piece.number, glass=piece.glass, grain=piece.grain, at=piece.at)
