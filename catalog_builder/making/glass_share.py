"""The glass that a kept layout charges: what a batch takes from sheets, split over its variants by area."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from catalog_builder.making.cutting_list import BatchGlass, net_areas
from catalog_builder.making.quantities import Use
from catalog_builder.phrase import Number, Phrase, phrase
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.records.kept_layout import KeptLayout, LaidSheet
from catalog_builder.records.product import GlassChoice
from catalog_builder.units import rounded


@dataclass(frozen=True, slots=True)
class GlassShare:
    """What a layout charges: for each glass, dm2 of sheet for a dm2 of cut pieces. ``adopted``: it is in force."""

    title: str
    laid_on: date
    adopted: bool
    rates: Mapping[str, Decimal]

    def charged_dm2(self, made: MadePiece, choice: GlassChoice) -> dict[str, Decimal]:
        """Give the glass charged for one item, by material."""
        areas = net_areas(made, choice.pieces)
        return {name: self.rates[name] * area for name, area in areas.items() if name in self.rates}

    def charge(self, uses: Sequence[Use], made: MadePiece, choice: GlassChoice) -> tuple[Use, ...]:
        """Put the layout's share in place of boxes; all that is not glass stays."""
        charged = self.charged_dm2(made, choice)
        return tuple(
            replace(use, quantity=charged[use.material.material], basis=self._basis(use.material.material))
            if use.group == "glass" and not use.material.ready_made
            else use
            for use in uses
        )

    def _basis(self, name: str) -> Phrase:
        times = Number(rounded(self.rates[name], 2), 2)
        return phrase("basis.glass_share", title=self.title, day=self.laid_on, times=times)


def read_share(
    title: str, adopted: bool, layout: KeptLayout, glasses: Sequence[BatchGlass], offcut_mm: Decimal
) -> GlassShare:
    """Give the share of each glass: the sheets less the offcuts that are kept, over the area of the pieces.

    Spares are no pieces of any item: what they take of a sheet is charged to all.
    """
    net = {glass.material.material: glass.area_mm2 for glass in glasses}
    rates = {}
    for laid in layout.glasses:
        used = sum(taken_mm2(sheet, offcut_mm) for sheet in laid.sheets)
        rates[laid.material] = (Decimal(repr(used)) / Decimal(repr(net[laid.material]))).quantize(Decimal("0.000001"))
    return GlassShare(title, layout.laid_on, adopted, rates)


def offcut_of(sheet: LaidSheet, offcut_mm: Decimal) -> tuple[float, float] | None:
    """Give width and height of the rectangle that is left of a sheet, if it is worth keeping."""
    width = round(sheet.width_mm - sheet.used_mm, 3)
    return (width, sheet.height_mm) if min(width, sheet.height_mm) >= offcut_mm else None


def taken_mm2(sheet: LaidSheet, offcut_mm: Decimal) -> float:
    """Give what is taken of a sheet: all of it, less an offcut that is kept."""
    kept = offcut_of(sheet, offcut_mm)
    return round(sheet.width_mm * sheet.height_mm - (kept[0] * kept[1] if kept else 0.0), 3)
