"""Hardware: the lightest, then cheapest, whose rated load covers the load times the safety factor.

The usual factor of 5 has a published analogue in rigging (ASME B30.26: a design factor of at least 5 for
shackles, as pages quoting it say). A computed load is an estimate; for anything heavy, someone qualified decides.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal

from catalog_builder.records.material import Material
from catalog_builder.records.materials import Materials


def lightest(
    materials: Materials,
    day: date,
    kind: str,
    load_g: Callable[[Material], float],
    factor: Decimal,
    wanted: str | None,
) -> Material | None:
    """Choose hardware of a kind, or try the one that is wanted by name.

    ``load_g`` gives the load on it in grams, its own mass included. None where nothing is strong enough.
    """

    def rank(material: Material) -> tuple[float, Decimal, str]:
        mass = material.mass_per_m if kind in ("cord", "chain") else float(material.mass_g or 0)
        price = materials.price(material.material, day)
        return mass, price.price / material.pack_amount if price else Decimal("Infinity"), material.material

    for material in sorted(materials.of_kind(kind), key=rank):
        if wanted is not None and material.material != wanted:
            continue
        if float(material.rated_load_g or 0) >= load_g(material) * float(factor):
            return material
    return None
