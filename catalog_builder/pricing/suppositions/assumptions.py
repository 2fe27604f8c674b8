"""What costs and prices are worked out from, as far as it can be supposed otherwise."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Studio


@dataclass(frozen=True, slots=True)
class Assumptions:
    """The studio's rules, the materials with their prices, and the products, as of a day."""

    studio: Studio
    materials: Materials
    products: tuple[Product, ...]
    day: date
