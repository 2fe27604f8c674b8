"""What a piece's stance is calculated from."""

from __future__ import annotations

from dataclasses import dataclass

from catalog_builder.piece.hanging.hardware import HardwareStock
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.piece.mass import Body
from catalog_builder.records.product import Product


@dataclass(frozen=True, slots=True)
class WeighedPiece:
    """A piece with its mass, the width, height and depth of its glass as it stands, and its area of glass.

    ``stock`` is the hardware to choose from.
    """

    made: MadePiece
    product: Product
    body: Body
    glass_mm: tuple[float, float, float]
    area_mm2: float
    stock: HardwareStock
