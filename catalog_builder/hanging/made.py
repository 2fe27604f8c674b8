"""A measured pattern with the foil and solder that it is made with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from catalog_builder.hanging.bead import Bead, read_bead, wrap_mm
from catalog_builder.mistake import Mistake, MistakeError
from catalog_builder.pattern.cuts import Cut
from catalog_builder.pattern.pieces import Pattern
from catalog_builder.pattern.seams import Edges
from catalog_builder.pattern.sizes import Measured
from catalog_builder.records.content import Content
from catalog_builder.records.material import Material
from catalog_builder.records.product import GlassChoice, Product


@dataclass(frozen=True, slots=True)
class Made:
    """A pattern at its finished size in chosen glass, with its foil, solder and bead."""

    pattern: Pattern
    edges: Edges
    cuts: Sequence[Cut]
    bead: Bead
    foil: Material
    solder: Material


def make(content: Content, product: Product, choice: GlassChoice, measured: Measured) -> Made:
    """Choose foil and solder for the thickest glass of a choice.

    Raises:
        MistakeError: no foil is wide enough to wrap both faces.
    """
    rows, making = content.materials.rows, content.studio.making
    thickness = max(float(rows[name].thickness_mm or 0) for name in choice.pieces.values())
    foil = _foil(content, product, thickness)
    solder = rows[product.keys.solder or making.solder]
    bead = read_bead(making, solder, foil, thickness)
    return Made(measured.sized.pattern, measured.edges, measured.cuts, bead, foil, solder)


def _foil(content: Content, product: Product, thickness_mm: float) -> Material:
    """Take the foil that is named, else the narrowest that wraps enough onto each face."""
    making = content.studio.making
    named = product.keys.foil or making.foil
    least = float(making.foil_wrap_mm)
    stocked = [foil for foil in content.materials.of_kind("foil") if named in ("auto", foil.material)]
    wide = [foil for foil in stocked if wrap_mm(float(foil.width_mm or 0), thickness_mm) >= least]
    if not wide:
        what = "no foil of materials.csv wraps" if named == "auto" else f"the foil {named!r} does not wrap"
        raise MistakeError(
            [
                Mistake(
                    place=product.source.place(product.line("foil")),
                    wrong=f"{what} glass of {thickness_mm:g} mm by {least:g} mm on each face",
                    expected=f"a foil at least {thickness_mm + 2 * least:g} mm wide",
                    mend="add a wider foil, or lower making.foil_wrap_mm",
                )
            ]
        )
    return min(wide, key=lambda foil: (foil.width_mm or 0, foil.material))
