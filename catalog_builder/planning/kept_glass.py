"""A plan's glass, kept from one build to the next: measuring a batch's outlines again takes longer than all its papers.

An entry follows from what the plan's pieces are assembled from, how many there are of each, and the kept layout.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import shapely

from catalog_builder.cache.store import Store, key_of
from catalog_builder.making.cutting_list import BatchGlass, GlassPiece, batch_glass, fingerprint
from catalog_builder.making.sheet_layout import is_valid
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.records.batch_plan import Ordered
from catalog_builder.records.kept_layout import KeptLayout, PieceKey
from catalog_builder.records.material import Material

_KIND = "batch_glass"


@dataclass(frozen=True, slots=True)
class OrderedGlass:
    """The glass of orders. ``fits``: the layout is that of these pieces and can be cut.

    ``key`` is that of all that it follows from.
    """

    glasses: tuple[BatchGlass, ...]
    fits: bool
    key: str


@dataclass(frozen=True, slots=True)
class KeptGlass:
    """Reads the glass of orders, each with its variant; ``rows`` are the materials, ``clearance_mm`` is for cutting."""

    rows: Mapping[str, Material]
    clearance_mm: Decimal
    store: Store | None = None

    def read(self, orders: Sequence[tuple[Ordered, VariantCalculation]], layout: KeptLayout | None) -> OrderedGlass:
        """Give the glass of orders, and whether a layout fits it."""
        # A record that is only tried out has its own key, but the plan still names the glass of the one that is saved.
        followed = [
            (variant.assembled.key, ordered.chosen, ordered.count, ordered.product.keys.glass[ordered.choice].pieces)
            for ordered, variant in orders
        ]
        key = key_of(_KIND, followed, layout, self.clearance_mm)
        stored = self.store.find(_KIND, key) if self.store is not None else None
        if stored is not None:
            values = json.loads(stored)
            return OrderedGlass(tuple(_read(glass, self.rows) for glass in values["glasses"]), values["fits"], key)
        ordered_glass = self._made(orders, layout, key)
        entry = {"fits": ordered_glass.fits, "glasses": [_written(glass) for glass in ordered_glass.glasses]}
        if self.store is not None:
            self.store.keep(_KIND, key, json.dumps(entry).encode())
        return ordered_glass

    def _made(
        self, orders: Sequence[tuple[Ordered, VariantCalculation]], layout: KeptLayout | None, key: str
    ) -> OrderedGlass:
        made = ((ordered, variant.made) for ordered, variant in orders)
        glasses = batch_glass(self.rows, made, float(self.clearance_mm))
        fits = (
            layout is not None
            and layout.fingerprint == fingerprint(glasses, self.clearance_mm)
            and is_valid(layout, glasses, self.clearance_mm)
        )
        return OrderedGlass(glasses, fits, key)


def _written(glass: BatchGlass) -> dict[str, Any]:
    return {
        "material": glass.material.material,
        "cracked": str(glass.cracked),
        "boxes_mm2": glass.boxes_mm2,
        "pieces": [
            (piece.key, shapely.to_wkb(piece.outline, hex=True), piece.area_mm2, piece.count, piece.spares)
            for piece in glass.pieces
        ],
    }


def _read(values: dict[str, Any], rows: Mapping[str, Material]) -> BatchGlass:
    pieces = tuple(
        GlassPiece(PieceKey(*key), shapely.from_wkb(outline), *amounts) for key, outline, *amounts in values["pieces"]
    )
    return BatchGlass(rows[values["material"]], pieces, Decimal(values["cracked"]), values["boxes_mm2"])
