"""Decorative drops of solder: where they weigh, and how surely they are known; and the foil that just wraps."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from catalog_builder.piece.mass import Body, MassPart
from catalog_builder.piece.uncertainty import mass_uncertainty_g
from tests.studio import TABLES, content, makings, record, suspension

OFF = (
    '<rect width="100" height="60" data-glass="left"/><path d="M40,0 V60"/>'
    '<text x="20" y="30" data-glass="left">1</text><text x="70" y="30" data-glass="right">2</text>'
    '<circle data-mark="ring" cx="40" cy="0" r="1"/>'
)


def test_drops_lie_along_all_beads(tmp_path: Path) -> None:
    """Drops are taken as spread over seams and rims alike: 60 mm of seam at x = 40, 320 mm of rim about x = 50."""
    body = suspension(content(tmp_path, record(OFF, keys="solder_drops_g: 3"))).body
    (drops,) = (part for part in body.parts if part.name == "drops")
    assert drops.mass_g == pytest.approx(3)
    assert (drops.x, drops.y) == pytest.approx(((60 * 40 + 320 * 50) / 380, 30))


@pytest.mark.parametrize("name", ["seam", "rim", "joints", "drops"])
def test_all_solder_is_as_uncertain(name: str) -> None:
    """30 g of solder that may be off by a quarter: 2 x 7.5 / sqrt 3, wherever it lies (JCGM 100:2008, 4.3.7)."""
    body = Body((MassPart(name, 30.0, 0, 0),))
    assert mass_uncertainty_g(body, {}, 0.25) == pytest.approx(15 / math.sqrt(3))


@pytest.mark.parametrize(("wrap", "foil"), [("1.25", "foil-narrow"), ("1.26", "foil-wide")])
def test_foil_that_just_wraps_is_wide_enough(tmp_path: Path, wrap: str, foil: str) -> None:
    """Foil of 5.5 mm leaves (5.5 - 3) / 2 = 1.25 mm on each face of glass of 3 mm: enough where 1.25 is asked for."""
    tables = {"making": f"{TABLES['making']}\nfoil_wrap_mm = {wrap}"}
    (piece,) = makings(content(tmp_path, tables=tables, materials={"foil-narrow": {"width_mm": "5.5"}}))
    assert piece.foil.material == foil
