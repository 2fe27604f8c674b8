"""Edges of parts that meet nothing in a form that closes round them: a maker may have meant them to."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import get_args

import numpy as np
import shapely

from catalog_builder.mistake import Finding
from catalog_builder.pattern.parts.copies import BESIDE_MM
from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.pattern.sizes import Sized, titled
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.phrase import Phrase, phrase, quantity
from catalog_builder.records.drawing.part_keys import Side
from catalog_builder.records.product import Product

# What is shorter is left where corners do not quite meet, and is nothing to cover.
LEAST_MM = 5.0
# What meets others along fewer of its sides is a wing or a leaf, which is to stand free.
LEAST_SIDES = 2


def free_edge_findings(
    product: Product, sized: Sized, flats: Sequence[FlatPart], near: Collection[str]
) -> Iterator[Finding]:
    """Find the parts set all round a drawing, or met along two sides or more, with sides that meet nothing.

    Sides that their records call open are left out, and so are the parts whose names are in ``near``: they nearly meet
    another, which is a finding already.
    """
    for flat in flats:
        keys = product.keys.parts.get(flat.name)
        if keys is None or flat.name in near or not (keys.around or len(set(_sides(flat, flat.joined))) >= LEAST_SIDES):
            continue
        free = {side: lengths for side, lengths in _free_mm(flat).items() if lengths and side not in keys.open_sides}
        if free:
            yield Finding.of(
                "G12",
                product.source.place(product.line("parts", flat.name)),
                "findings_space.free_edges",
                title=titled(product, "", sized.size),
                part=phrase("findings_space.part", name=flat.name),
                edges=tuple(_worded(side, lengths) for side, lengths in free.items()),
                sides=", ".join((*keys.open_sides, *free)),
            )


def _worded(side: Side, lengths: Sequence[float]) -> Phrase:
    return phrase(
        "findings_space.free_edge",
        side=phrase(f"findings_space.side_{side}"),
        length=quantity(max(lengths), "mm", 1),
        count=len(lengths),
    )


def _free_mm(flat: FlatPart) -> dict[Side, list[float]]:
    """Give by the side of the drawing how long its free edge is on each copy that has any there."""
    free: dict[Side, list[float]] = {side: [] for side in get_args(Side)}
    outer = shapely.union_all([group.exterior for group in shapely.get_parts(flat.pattern.glass)])
    for rims in flat.rims:
        # A field that is left open inside a part has a rim of its own.
        outside = shapely.distance(shapely.points(rims.mean(axis=1)), outer) < BESIDE_MM
        lengths = np.hypot(*(rims[:, 1] - rims[:, 0]).T)
        sides = np.array(_sides(flat, rims))
        for side, known in free.items():
            length = float(lengths[outside & (sides == side)].sum())
            if length >= LEAST_MM:
                known.append(length)
    return free


def _sides(flat: FlatPart, stretches: Points) -> list[Side]:
    """Give the side of the drawing on which each straight stretch of its outline lies; they have shape (n, 2, 2)."""
    along = stretches[:, 1] - stretches[:, 0]
    out = np.stack([along[:, 1], -along[:, 0]], axis=1) / np.maximum(np.hypot(*along.T), 1e-9)[:, None]
    beside = stretches.mean(axis=1) + BESIDE_MM * out
    out[shapely.contains_xy(flat.pattern.glass, beside[:, 0], beside[:, 1])] *= -1
    return [_side(x, y) for x, y in out.round(6).tolist()]


def _side(x: float, y: float) -> Side:
    if abs(x) > abs(y):
        return "right" if x > 0 else "left"
    return "bottom" if y > 0 else "top"
