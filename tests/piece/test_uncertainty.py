"""How well a mass is known: from the tolerance of the glass and the model of the solder."""

from __future__ import annotations

import math

import pytest

from catalog_builder.piece.mass import Body, MassPart
from catalog_builder.piece.uncertainty import expanded, mass_uncertainty_g
from catalog_builder.records.material import Material


def glass(name: str, **cells: str) -> Material:
    """A sheet of 3 mm."""
    row = {"material": name, "title": name, "kind": "glass", "pack_size": "1", "pack_unit": "m2", "thickness_mm": "3"}
    return Material.model_validate({**row, **cells})


def test_expanded() -> None:
    """Bounds of 3 and 4, equally likely throughout: 2 sqrt(25 / 3), JCGM 100:2008, 4.3.7 and 6.2. Status C."""
    assert expanded([3, 4]) == pytest.approx(2 * 5 / math.sqrt(3))


def test_pieces_of_a_sheet_vary_together_and_sheets_do_not() -> None:
    """60 g of a sheet of 3 mm are known to 0.2 / 3 of it, 4 g; a sheet of its own tolerance and the solder add."""
    sheets = {"reed": glass("reed"), "slate": glass("slate", thickness_tolerance_mm="0.6")}
    parts = [
        MassPart("glass", 40, 0, 0, of="reed"),
        MassPart("glass", 20, 0, 0, of="reed"),
        MassPart("glass", 15, 0, 0, of="slate"),
        MassPart("seam", 6, 0, 0),
        MassPart("joints", 4, 0, 0),
        MassPart("wire", 100, 0, 0),
    ]
    # 0.2 / 3 of 60 g, 0.6 / 3 of 15 g, and 0.3 of 10 g of solder; wire is taken as known.
    assert mass_uncertainty_g(Body(tuple(parts)), sheets, 0.3) == pytest.approx(expanded([4, 3, 3]))
