"""Rings that are marked away from the line that is to carry them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from catalog_builder.mistake import Mistake
from catalog_builder.pattern.pieces import Pattern
from catalog_builder.piece.balance import Place
from catalog_builder.records.product import Product


@dataclass(frozen=True, slots=True)
class RingLine:
    """A line that carries rings: its name, what it does there, which rings are expected, and its place nearest to one.

    A ring within ``reach_mm`` of it is on it.
    """

    name: str
    why: str
    expected: str
    nearest: Callable[[Place], Place]
    reach_mm: float

    def rings_off(self, product: Product, pattern: Pattern) -> Iterator[Mistake]:
        """Find the marked rings that are not on it."""
        scale = pattern.scale
        for ring in pattern.rings:
            x, y = self.nearest((ring.x, ring.y))
            if math.dist((x, y), (ring.x, ring.y)) > self.reach_mm:
                spot = ring.x / scale, ring.y / scale
                yield Mistake(
                    place=product.place_of(ring.row),
                    wrong=f"the ring at x {spot[0]:.1f}, y {spot[1]:.1f} is not on {self.name}, {self.why}",
                    expected=self.expected,
                    mend=f"the nearest place of {self.name} is x {x / scale:.1f}, y {y / scale:.1f}",
                    spot=spot,
                )
