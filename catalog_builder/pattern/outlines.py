"""A product's measured outlines. They are large, so only those of the last products stay in memory."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from catalog_builder.pattern.measured import Measured, measure
from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Making

# Work goes product by product: the present one, and one for comparison.
MOST_PRODUCTS = 2


@dataclass(frozen=True, slots=True, eq=False)
class Outlines:
    """The outlines of a product at each of its sizes."""

    product: Product
    making: Making
    materials: Materials

    def at(self, size: str) -> Measured:
        """Give the outlines at a size.

        Raises:
            MistakeError: with the faults of the drawings.
        """
        return self.measured()[size]

    def measured(self) -> dict[str, Measured]:
        """Give the outlines at every size, by its name.

        Raises:
            MistakeError: with the faults of the drawings.
        """
        return _measured(self)


@lru_cache(maxsize=MOST_PRODUCTS)
def _measured(outlines: Outlines) -> dict[str, Measured]:
    product, making = outlines.product, outlines.making
    sizes = read_sizes(product, making, outlines.materials)
    return {sized.size: measure(product, sized, making) for sized in sizes}
