"""Which feet a piece stands on: those that its record names, else the lightest on which it stands firm."""

from __future__ import annotations

from catalog_builder.mistake import MistakeError
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.piece.balance import Place
from catalog_builder.piece.hanging.hardware import HardwareStock
from catalog_builder.piece.standing.footprint import footprint
from catalog_builder.piece.standing.tipping import STEADY_DEGREES, tipping
from catalog_builder.records.material import Material
from catalog_builder.records.product import Product


def choose_foot(
    product: Product, stock: HardwareStock, places: Points, centre: Place, height_mm: float
) -> Material | None:
    """Give the foot of a piece; None where its record asks for none.

    ``places`` touch the ground, shape (k, 2); ``centre`` is the centre of mass in its plane and ``height_mm`` how high
    that lies above the lowest edge.

    Raises:
        MistakeError: the record asks for feet and materials.csv has none.
    """
    hang = product.keys.hang
    if hang.material is not None:
        return stock.materials.rows[hang.material]
    if hang.feet is None:
        return None
    feet = stock.materials.of_kind(hang.by.bought_as)
    if not feet:
        raise MistakeError.at(
            product.source.place(product.line("hang", "feet")),
            wrong="it stands on feet, but materials.csv has no material of the kind foot",
            expected="a row of the kind foot, with its mass_g, length_mm and width_mm or diameter_mm",
            mend="add the foot that you use, and its price to material_prices.csv",
        )

    def tips_at(foot: Material) -> float:
        return tipping(footprint(places, foot, hang.feet), centre, height_mm + float(foot.length_mm or 0)).degrees

    by_mass = sorted(feet, key=lambda foot: (foot.mass_g or 0, foot.material))
    firm = [foot for foot in by_mass if tips_at(foot) >= STEADY_DEGREES]
    return firm[0] if firm else max(by_mass, key=tips_at)
