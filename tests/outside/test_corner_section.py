"""Solder in the corners of parts that meet in space, as sections drawn by a general geometry library, and by hand.

The shapes: on the inside of a corner a fillet between the foils of the two faces, whose surface meets the foil at the
angle of a flat bead; on the outside half a bead on each face, a triangle between the edges of the glass, and a round
over its mouth. The triangle between two legs at an angle is that of a fillet weld (area leg^2 sin / 2, plane geometry).
Shapely draws the discs; the program's formula for a segment is not used. That solder takes these shapes is common
practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
import shapely
from shapely import Geometry, Polygon

from catalog_builder.piece.bead import Bead, fillet_mm2, groove_mm2, rim_mm2, seam_mm2
from tests.outside.test_solder_section import disc_through

# Chords of a disc drawn with 4 x 400 sides fall short of it by less than this share.
SAME = 1e-4


def fillet(leg: float, height: float, degrees: float) -> float:
    """The area of solder between two faces that open by an angle, each covered over ``leg``."""
    turn = math.radians(degrees)
    first, second = np.array([leg, 0.0]), leg * np.array([math.cos(turn), math.sin(turn)])
    triangle = leg * leg * math.sin(turn) / 2
    # Of a flat bead of that height the surface leaves the foil at this angle.
    rise = 2 * math.atan(height / leg)
    # It leaves the first face towards the corner, so its normal there is turned up by as much.
    normal = np.array([-math.sin(rise), -math.cos(rise)])
    # The middle of the circle lies on that normal, as far from one end as from the other (a linear equation).
    chord = second - first
    across = float(chord @ normal)
    if abs(across) < 1e-9 * leg:
        return triangle
    radius = float(chord @ chord) / (2 * across)
    middle = first + radius * normal
    disc = shapely.Point(middle).buffer(abs(radius), quad_segs=1000)
    # The segment on the far side of the chord from the middle is what the surface bulges, or sinks, by.
    far = 100 * leg
    along = chord / np.linalg.norm(chord)
    out = np.array([-along[1], along[0]])
    out = out if out @ (middle - first) < 0 else -out
    ends = [first - far * along, second + far * along]
    beyond = Polygon([*ends, ends[1] + far * out, ends[0] + far * out])
    segment = shapely.intersection(disc, beyond).area
    # The corner is at the origin: beyond the chord from it solder bulges, before it the surface sinks.
    bulges = float(out @ first) > 0 or math.isclose(float(out @ first), 0.0, abs_tol=1e-9)
    return float(triangle + segment if bulges else triangle - segment)


def groove(leg: float, height: float, glass: float, degrees: float) -> float:
    """The area of solder on the outside of a corner whose faces open by an angle on the inside."""
    turn = math.radians(degrees)
    lower, upper = np.array([0.0, -glass]), glass * np.array([-math.sin(turn), math.cos(turn)])
    between = Polygon([(0, 0), lower, upper]).area
    whole = disc_through((-leg, 0.0), (leg, 0.0), (0.0, height))
    half_beads = whole.intersection(shapely.box(-100, 0, 100, 100)).area
    mouth = float(np.linalg.norm(upper - lower))
    if mouth < 1e-9:
        return float(half_beads)
    top = min(height, mouth / 2)
    disc = disc_through((-mouth / 2, 0.0), (mouth / 2, 0.0), (0.0, top))
    return float(between + half_beads + disc.intersection(shapely.box(-100, 0, 100, 100)).area)


def corner_section(
    sectors: Sequence[float], foil: float, thin: float, glass: float, gap: float, height: float
) -> Geometry:
    """A square as large as the section of solder where faces open by these angles in turn."""
    leg = (foil - glass) / 2 + gap / 2
    area = max(0.0, gap - 2 * thin) * glass
    for sector in sectors:
        area += fillet(leg, height, sector) if sector <= 180 else groove(leg, height, glass, 360 - sector)
    return shapely.box(0, 0, area**0.5, area**0.5)


@pytest.mark.parametrize("degrees", [5, 30, 60, 70.5288, 90, 109.4712, 116.5651, 138.1897, 170, 180])
@pytest.mark.parametrize(("leg", "height"), [(1.7, 1.0), (2.4, 0.6), (1.2, 1.1)])
def test_fillet_is_the_drawn_one(degrees: float, leg: float, height: float) -> None:
    """The section by the formula is the one that is drawn."""
    assert fillet_mm2(2 * leg, height, degrees) == pytest.approx(fillet(leg, height, degrees), rel=SAME, abs=1e-4)


@pytest.mark.parametrize("degrees", [0, 30, 70.5288, 90, 116.5651, 150, 179, 180])
@pytest.mark.parametrize("glass", [2.0, 3.0, 6.0])
def test_groove_is_the_drawn_one(degrees: float, glass: float) -> None:
    """The outside of a corner by the formula is the one that is drawn."""
    assert groove_mm2(3.4, 1.0, glass, degrees) == pytest.approx(groove(1.7, 1.0, glass, degrees), rel=SAME)


def test_by_hand() -> None:
    """A right angle whose surface lies straight is half a square; a groove of 3 mm glass is half of 3 x 3."""
    leg = 2.0
    # The surface is straight where a flat bead would leave the foil at 45 degrees: height = leg tan 22.5.
    assert fillet_mm2(2 * leg, leg * math.tan(math.radians(22.5)), 90) == pytest.approx(leg**2 / 2)
    # Without a bead of its own: 3^2 / 2, no more.
    assert groove_mm2(0.0, 0.0, 3.0, 90) == pytest.approx(4.5)
    # With a half circle over a mouth of 3 sqrt 2, radius 2.1213: pi 4.5 / 2 = 7.0686 more.
    assert groove_mm2(0.0, 9.0, 3.0, 90) == pytest.approx(4.5 + 7.0686, abs=1e-4)


def test_flat_and_folded_together() -> None:
    """At 180 degrees a corner is a flat seam, and folded up its outside is the rim of glass twice as thick."""
    foil, thin, glass, gap, height = 6.0, 0.05, 3.0, 0.8, 1.0
    bead = Bead(10.0, 5.0, (foil - glass) + gap, height, (gap - 2 * thin) * glass, glass)
    assert bead.corner_mm2((180.0, 180.0)) == pytest.approx(seam_mm2(foil, thin, glass, gap, height))
    assert bead.corner_g_m((180.0, 180.0)) == pytest.approx(10.0)
    assert bead.corner_g_m((90.0, 270.0)) > 10.0
    twice = rim_mm2((foil - glass) + 2 * glass, 2 * glass, height)
    assert groove_mm2(foil - glass, height, glass, 0) == pytest.approx(twice)


def test_four_vanes() -> None:
    """Four vanes round a line have four fillets of a right angle."""
    foil, thin, glass, gap, height = 6.0, 0.05, 3.0, 0.8, 1.0
    bead = Bead(10.0, 5.0, (foil - glass) + gap, height, (gap - 2 * thin) * glass, glass)
    drawn = corner_section((90, 90, 90, 90), foil, thin, glass, gap, height).area
    assert bead.corner_mm2((90, 90, 90, 90)) == pytest.approx(drawn, rel=SAME)
