"""Beads of solder: their sections, and how they follow foil, glass and gap."""

from __future__ import annotations

import math

import pytest

from catalog_builder.piece.bead import read_bead, rim_mm2, seam_mm2, segment_mm2, wrap_mm
from catalog_builder.records.material import Material
from catalog_builder.records.studio import Making


def material(**cells: str) -> Material:
    """A material of a kind with some cells filled in."""
    return Material.model_validate({"material": "one", "title": "One", "pack_size": "1", "pack_unit": "g", **cells})


def making(**cells: str) -> Making:
    """The studio's ways of making, with some of their own."""
    return Making.model_validate({"solder": "solder", "wire": "wire", **cells})


SOLDER = material(kind="solder", density_g_cm3="8")
FOIL = material(kind="foil", width_mm="5.56", thickness_mm="0.03")


@pytest.mark.parametrize(
    ("chord", "height", "area"),
    [
        # A half disc, a whole disc but for nothing, and a quarter circle's segment: R^2/2 (t - sin t).
        (4, 2, 2 * math.pi),
        (math.sqrt(2), 1 - math.sqrt(0.5), math.pi / 4 - 0.5),
        (math.sqrt(2), 1 + math.sqrt(0.5), 3 * math.pi / 4 + 0.5),
        (0, 1, 0),
        (4, 0, 0),
    ],
)
def test_segment(chord: float, height: float, area: float) -> None:
    """A circular segment by chord and height, also where it is more than half a disc."""
    assert segment_mm2(chord, height) == pytest.approx(area)


@pytest.mark.parametrize("height", [0.2, 0.6, 1.2])
def test_flat_segment(height: float) -> None:
    """A flat segment has about two thirds of its box.

    Archimedes on the parabola, which a flat arc is nearly.
    """
    assert segment_mm2(40, height) == pytest.approx(2 / 3 * 40 * height, rel=2e-3)


@pytest.mark.parametrize(
    ("width", "thickness", "wrap"), [(5.556, 3, 1.278), (4.76, 3, 0.88), (6.35, 3, 1.675), (3, 3, 0)]
)
def test_wrap(width: float, thickness: float, wrap: float) -> None:
    """What the glass's edge leaves of a foil goes half onto each face.

    7/32 in on 3 mm: 1.278 mm, common practice.
    """
    assert wrap_mm(width, thickness) == pytest.approx(wrap)


def test_sections() -> None:
    """A seam has a bead on both faces over both foils and the gap, and between the foils the gap is filled.

    A rim has a round on its edge.
    """
    assert seam_mm2(5.56, 0.03, 3, 0.8, 1.2) == pytest.approx(2 * segment_mm2(2 * 1.28 + 0.8, 1.2) + 0.74 * 3)
    assert seam_mm2(5.56, 0.03, 3, 0, 1.2) == pytest.approx(2 * segment_mm2(2 * 1.28, 1.2))
    assert rim_mm2(5.56, 3, 1) == pytest.approx(segment_mm2(2.56, 1) + segment_mm2(3, 1))


@pytest.mark.parametrize("gap", ["0", "0.8", "1.6"])
def test_grams(gap: str) -> None:
    """A square millimetre of solder of 8 g/cm3 weighs 8 g a metre."""
    bead = read_bead(making(foil_gap_mm=gap, seam_height_mm="1.2", rim_height_mm="0.9"), SOLDER, FOIL, 3)
    assert bead.seam_g_m == pytest.approx(8 * seam_mm2(5.56, 0.03, 3, float(gap), 1.2))
    assert bead.rim_g_m == pytest.approx(8 * rim_mm2(5.56, 3, 0.9))


@pytest.mark.parametrize(("seam", "rim"), [("44.5", "21"), ("0", "0")])
def test_weighed(seam: str, rim: str) -> None:
    """What the studio has weighed stands in place of the model, also where it is nothing."""
    bead = read_bead(making(seam_solder_g_m=seam, rim_solder_g_m=rim), SOLDER, FOIL, 3)
    assert (bead.seam_g_m, bead.rim_g_m) == (float(seam), float(rim))


@pytest.mark.parametrize(
    ("weighed", "source", "share"),
    [
        ({}, "model", 0.2),
        ({"seam_solder_g_m": "44.5"}, "partly_weighed", 0.2),
        ({"rim_solder_g_m": "0"}, "partly_weighed", 0.2),
        ({"seam_solder_g_m": "44.5", "rim_solder_g_m": "21"}, "weighed", 0.05),
    ],
)
def test_source(weighed: dict[str, str], source: str, share: float) -> None:
    """Solder is as sure as weighed grams only where seams and rims are both weighed."""
    assert (making(**weighed).solder_source, making(**weighed).solder_share) == (source, share)
