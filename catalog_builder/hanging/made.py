"""A measured pattern with the foil and solder that it is made with."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog_builder.hanging.bead import Bead, read_bead, wrap_mm
from catalog_builder.mistake import Mistake, MistakeError
from catalog_builder.pattern.curve import Points
from catalog_builder.pattern.cuts import Cut
from catalog_builder.pattern.flat import Flat
from catalog_builder.pattern.measured import Measured
from catalog_builder.records.content import Content
from catalog_builder.records.material import Material
from catalog_builder.records.product import GlassChoice, Product


@dataclass(frozen=True, slots=True, eq=False)
class Made:
    """A product at a finished size in chosen glass, with its foil, solder and bead.

    ``flats`` are its flat parts, the main one first; ``joined`` the seams that join the others on, shape (n, 2, 2),
    and ``tacks`` the ends of the joins, shape (k, 2), both in the main one's plane.
    """

    flats: tuple[Flat, ...]
    joined: Points
    tacks: Points
    bead: Bead
    foil: Material
    solder: Material

    @property
    def main(self) -> Flat:
        """The flat that hangs in the plane of the viewer and carries the rings."""
        return self.flats[0]

    @property
    def cuts(self) -> tuple[Cut, ...]:
        """Every cut of glass that one item takes, each copy for itself."""
        return tuple(cut for flat in self.flats for _ in flat.places for cut in flat.cuts)

    @property
    def seam_mm(self) -> float:
        """The length of all seams, those that join parts on counted once."""
        own = sum(flat.edges.seam_mm * flat.copies for flat in self.flats)
        return own + float(np.hypot(*(self.joined[:, 1] - self.joined[:, 0]).T).sum())

    @property
    def rim_mm(self) -> float:
        """The length of all rims."""
        return sum(flat.edges.rim_mm * flat.copies for flat in self.flats)

    @property
    def joints(self) -> int:
        """The number of points where seams meet, and of ends of joins."""
        return sum(len(flat.edges.joints) * flat.copies for flat in self.flats) + len(self.tacks)


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
    return Made(measured.flats, measured.joined, measured.tacks, bead, foil, solder)


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
