"""Solder: the sections of beads over copper foil, and the grams in a metre of them.

A model, and an estimate: no published figure was found for what a metre of seam or rim takes, so the model is held to
geometry alone. The studio's own weighed grams a metre, where it gives them, replace it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
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


def fillet_mm2(chord_mm: float, height_mm: float, degrees: float) -> float:
    """Give the section of solder in the inside of a corner of two faces at an angle of up to 180 degrees.

    Each face is covered over half the ``chord_mm`` of a flat bead, c = chord / 2. Straight across, solder fills the
    triangle c^2 sin(angle) / 2, as a fillet weld with legs c does (plane geometry). Its surface meets the foil at the
    angle of a flat bead of that height, 2 atan(height / c), so that it bulges, or in a sharp corner sinks, by a segment
    over the triangle's third side, 2 c sin(angle / 2). At 180 degrees this is the flat bead, segment_mm2.
    """
    leg, turn = chord_mm / 2, math.radians(degrees)
    if leg <= 0:
        return 0.0
    across = 2 * leg * math.sin(turn / 2)
    bulge = across / 2 * math.tan(math.atan(height_mm / leg) - (math.pi - turn) / 4)
    return leg**2 * math.sin(turn) / 2 + math.copysign(segment_mm2(across, abs(bulge)), bulge)


def groove_mm2(chord_mm: float, height_mm: float, thickness_mm: float, degrees: float) -> float:
    """Give the section of solder on the outside of a corner of two faces at an angle of up to 180 degrees.

    Their inner edges touch. Half a flat bead lies on each face. Between the edges of the glass a groove gapes by 180
    less the angle: a triangle of thickness^2 sin(angle) / 2. Over its mouth, 2 thickness cos(angle / 2) wide, solder is
    rounded as over a rim, by no more than half a circle. At 180 degrees this is the flat bead; at 0 it is the rim of
    glass twice as thick.
    """
    turn = math.radians(degrees)
    mouth = 2 * thickness_mm * math.cos(turn / 2)
    rounded = segment_mm2(mouth, min(height_mm, mouth / 2))
    return segment_mm2(chord_mm, height_mm) + thickness_mm**2 * math.sin(turn) / 2 + rounded


@dataclass(frozen=True, slots=True)
class Bead:
    """Grams of solder a metre of seam and of rim.

    ``chord_mm`` is how wide the bead of a flat seam is, ``height_mm`` how high, ``filled_mm2`` what it fills of the
    foil gap, ``thickness_mm`` the glass. All sections are those of the model; grams weighed by the studio set their
    scale.
    """

    seam_g_m: float
    rim_g_m: float
    chord_mm: float
    height_mm: float
    filled_mm2: float
    thickness_mm: float

    def corner_mm2(self, sectors: Sequence[float]) -> float:
        """Give the section of solder where faces meet along a line, by the angles between them, 360 degrees in all.

        Between two neighbouring faces at up to 180 degrees there is a fillet, on the outside of a corner a groove.
        A corner of (180, 180) is a flat seam.
        """
        sections = (
            fillet_mm2(self.chord_mm, self.height_mm, sector)
            if sector <= 180
            else groove_mm2(self.chord_mm, self.height_mm, self.thickness_mm, 360 - sector)
            for sector in sectors
        )
        return self.filled_mm2 + sum(sections)

    def corner_g_m(self, sectors: Sequence[float]) -> float:
        """Give the grams of solder in a metre of a corner: those of a flat seam by the ratio of the two sections."""
        flat = self.corner_mm2((180.0, 180.0))
        return self.seam_g_m * self.corner_mm2(sectors) / flat if flat > 0 else self.seam_g_m


def read_bead(making: Making, solder: Material, foil: Material, thickness_mm: float) -> Bead:
    """Give the grams a metre for a foil and a solder on glass of a thickness (mm2 x g/cm3 = g/m)."""
    width, foil_mm, gap = float(foil.width_mm or 0), float(foil.thickness_mm or 0), float(making.foil_gap_mm)
    seam = seam_mm2(width, foil_mm, thickness_mm, gap, float(making.seam_height_mm)) * solder.density
    rim = rim_mm2(width, thickness_mm, float(making.rim_height_mm)) * solder.density
    weighed_seam, weighed_rim = making.seam_solder_g_m, making.rim_solder_g_m
    return Bead(
        seam_g_m=seam if weighed_seam is None else float(weighed_seam),
        rim_g_m=rim if weighed_rim is None else float(weighed_rim),
        chord_mm=2 * wrap_mm(width, thickness_mm) + gap,
        height_mm=float(making.seam_height_mm),
        filled_mm2=max(0.0, gap - 2 * foil_mm) * thickness_mm,
        thickness_mm=thickness_mm,
    )
