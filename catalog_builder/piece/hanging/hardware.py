"""Hanging hardware: the lightest, then cheapest, whose rated load covers the load times the safety factor.

The usual factor of 5 has a published analogue in rigging (ASME B30.26: a design factor of at least 5 for
shackles, as pages quoting it say). A computed load is an estimate; for anything heavy, someone qualified decides.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from catalog_builder.mistake import MistakeError
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.material import Material
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product


@dataclass(frozen=True, slots=True)
class HardwareStock:
    """The hardware to choose from, at the prices of a day, and how many times its load it must hold."""

    materials: Materials
    day: date
    safety_factor: Decimal

    def factor(self, kind: HardwareKind) -> Decimal:
        """Give how many times its load hardware of a kind must be sold for."""
        return self.safety_factor * kind.factor_times

    def lightest(
        self,
        kind: HardwareKind,
        load_g: Callable[[Material], float],
        named: str | None,
        check: Callable[[Material], bool] = lambda _: True,
    ) -> Material | None:
        """Choose hardware of a kind; where one is named, that or none.

        ``load_g`` gives the load on it in grams, its own mass included; ``check`` refuses what does not hold
        otherwise, and says whether it could judge: what it cannot judge does not stand in for what it refused. None
        where nothing is strong enough.

        Raises:
            MistakeError: of ``check``, where it refuses all that is strong enough.
        """

        def rank(material: Material) -> tuple[float, Decimal, str]:
            price = self.materials.price(material.material, self.day)
            price_of_one = price.price / material.pack_amount if price else Decimal("Infinity")
            return material.hardware_mass_g(1000), price_of_one, material.material

        refusal: MistakeError | None = None
        for material in sorted(self.materials.of_kind(kind), key=rank):
            rated_g = float(material.rated_load_g or 0)
            if named in (None, material.material) and rated_g >= load_g(material) * float(self.factor(kind)):
                try:
                    if check(material) or refusal is None:
                        return material
                except MistakeError as error:
                    refusal = error
        if refusal is not None:
            raise refusal
        return None

    def too_weak(
        self, kind: HardwareKind, named: str | None, product: Product, mass_g: float, rings: int
    ) -> MistakeError:
        """Give the error that no hardware of a kind holds a product of a mass, or that the named one does not."""
        what = f"no {kind} of materials.csv holds" if named is None else f"the {kind} {named!r} does not hold"
        gale = " in a gale" if product.keys.hang.outdoors else ""
        line = product.line("hang") if kind is HardwareKind.RING else product.line("hang", "material")
        return MistakeError.at(
            product.source.place(line),
            wrong=f"{what} this piece of about {mass_g:.0f} g{gale} with a safety factor of {self.factor(kind)}",
            expected=f"a {kind} whose rated_load_g covers the load times the safety factor",
            mend="add a stronger one with the load it is sold for, "
            f"{'use two rings, ' if rings == 1 else ''}or make the piece smaller",
        )
