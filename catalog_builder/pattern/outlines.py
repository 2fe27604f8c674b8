"""A product's measured outlines. They are large, so that they are let go and measured again for those who ask."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from catalog_builder.pattern.measured import Measured, measure
from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Making

# Work goes product by product: the one at hand, and one for comparison, are enough.
AT_HAND = 2


@dataclass(frozen=True, slots=True, eq=False)
class Outlines:
    """The outlines of a product at each of its sizes."""

    product: Product
    making: Making
    materials: Materials

    def at(self, size: str) -> Measured:
        """Give them at a size.

        Raises:
            MistakeError: with the faults of the drawings.
        """
        return self.measured()[size]

    def measured(self) -> dict[str, Measured]:
        """Give them at every size, by the name of it.

        Raises:
            MistakeError: with the faults of the drawings.
        """
        return _measured(self)


@lru_cache(maxsize=AT_HAND)
def _measured(outlines: Outlines) -> dict[str, Measured]:
    product, making = outlines.product, outlines.making
    sizes = read_sizes(product, making, outlines.materials)  # size
    return {sized.size: measure(product, sized, making) for sized in sizes}  # measure
