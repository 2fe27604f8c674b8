"""Solder: the sections of beads over copper foil, and the grams in a metre of them.

A model, and an estimate: no published figure was found for what a metre of seam or rim takes, so the model is held to
geometry alone. The studio's own weighed grams a metre, where it gives them, replace it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from catalog_builder.records.material import Material
from catalog_builder.records.studio import Making


def segment_mm2(chord_mm: float, height_mm: float) -> float:
    """Give the area of a circular segment by its chord and height: R^2 acos((R - h)/R) - (R - h) sqrt(2Rh - h^2).

    Source: plane geometry, as in any handbook. A segment of 4 x 1.2 mm has 3.420 mm2.
    """
    if chord_mm <= 0 or height_mm <= 0:
        return 0.0
    radius = (chord_mm**2 / 4 + height_mm**2) / (2 * height_mm)
    rest = radius - height_mm
    return radius**2 * math.acos(rest / radius) - rest * math.sqrt(max(0.0, radius**2 - rest**2))


def wrap_mm(foil_width_mm: float, thickness_mm: float) -> float:
    """Give how far a foil wraps onto each face of the glass."""
    return (foil_width_mm - thickness_mm) / 2


def seam_mm2(foil_width_mm: float, foil_mm: float, thickness_mm: float, gap_mm: float, height_mm: float) -> float:
    """Give the section of solder in a seam: a bead over the foil on both faces, and what two foils leave of the gap."""
    chord = 2 * wrap_mm(foil_width_mm, thickness_mm) + gap_mm
    return 2 * segment_mm2(chord, height_mm) + max(0.0, gap_mm - 2 * foil_mm) * thickness_mm


def rim_mm2(foil_width_mm: float, thickness_mm: float, height_mm: float) -> float:
    """Give the section of solder on a rim: half a bead over the foil on each face, and a round over the edge."""
    return segment_mm2(2 * wrap_mm(foil_width_mm, thickness_mm), height_mm) + segment_mm2(thickness_mm, height_mm)


@dataclass(frozen=True, slots=True)
class Bead:
    """Grams of solder a metre of seam and of rim."""

    seam_g_m: float
    rim_g_m: float


def read_bead(making: Making, solder: Material, foil: Material, thickness_mm: float) -> Bead:
    """Give the grams a metre for a foil and a solder on glass of a thickness (mm2 x g/cm3 = g/m)."""
    width, foil_mm, gap = float(foil.width_mm or 0), float(foil.thickness_mm or 0), float(making.foil_gap_mm)
    seam = seam_mm2(width, foil_mm, thickness_mm, gap, float(making.seam_height_mm)) * solder.density
    rim = rim_mm2(width, thickness_mm, float(making.rim_height_mm)) * solder.density
    weighed_seam, weighed_rim = making.seam_solder_g_m, making.rim_solder_g_m
    return Bead(
        seam_g_m=seam if weighed_seam is None else float(weighed_seam),
        rim_g_m=rim if weighed_rim is None else float(weighed_rim),
    )
