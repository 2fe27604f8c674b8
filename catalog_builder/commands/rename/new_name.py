"""A name that is to be changed: of what kind it is, what it is and what it will be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from catalog_builder.records.variant import Variant

Kind = Literal["product", "size", "finish", "glass", "channel", "material"]
Cells = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class NewName:
    """A new name for an old one. ``products`` are the names of the product whose size or choice of glass it is."""

    kind: Kind
    old: str
    new: str
    products: frozenset[str] = frozenset()

    def of(self, kind: Kind, name: str, product: str = "") -> str:
        """Give the name that something of a kind has afterwards."""
        mine = kind == self.kind and name == self.old and (not self.products or product in self.products)
        return self.new if mine else name

    def variant(self, variant: Variant) -> Variant:
        """Give the names that a variant has afterwards."""
        product = variant.product
        return Variant(
            self.of("product", product),
            self.of("size", variant.size, product),
            self.of("finish", variant.finish),
            self.of("glass", variant.choice, product),
        )

    def variant_cells(self, cells: Cells) -> dict[str, str]:
        """Give the cells that change of a row that names a variant, and perhaps a channel."""
        product = cells.get("product", "")
        kinds: tuple[Kind, ...] = ("product", "size", "finish", "glass", "channel")
        named = {kind: self.of(kind, cells[kind], product) for kind in kinds if cells.get(kind)}
        return {kind: name for kind, name in named.items() if name != cells[kind]}

    def material_cells(self, cells: Cells) -> dict[str, str]:
        """Give the cell that changes of a row that names a material."""
        name = cells.get("material", "")
        return {"material": self.new} if name and self.of("material", name) != name else {}

    def step_cells(self, cells: Cells) -> dict[str, str]:
        """Give the cell that changes of a timed step; one of a finish is written ``black.patina``."""
        finish, point, step = cells.get("step", "").rpartition(".")
        return {"step": f"{self.new}.{step}"} if point and self.of("finish", finish) != finish else {}
