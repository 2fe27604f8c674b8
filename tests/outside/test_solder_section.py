"""Solder as solids built from arcs: what a metre of seam and of rim weighs.

The shapes are those that the trade describes (common practice, no source): a seam is a rounded bead over the foil of
both pieces on each face, and solder fills what the two foils leave between the edges; a rim is half such a bead on each
face and a round over the edge. Each round is an arc through three points: where it ends on either side, and its top.
Discs are drawn about the points' circumcentre, cut to shape by shapely and extruded by trimesh, general libraries; the
program's formula for a segment is not used. No published figure was found for the grams in a metre of either.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely
import trimesh
from shapely import Geometry, Polygon

from tests.drawn import Place
from tests.studio import BOX, MATERIALS, TABLES, content, makings, record, suspension

METRE_MM = 1000.0
# Chords of a disc drawn with 4 x 400 sides fall short of it by less than this share.
SAME = 1e-4
# Sn60Pb40 as two tables print it, a manufacturer's data sheet (2007) and a compiled solder table (S): 8.50 g/cm3;
# here by the row, so that no rule of mixtures enters.
DENSITY = 8.5
THIN = float(MATERIALS["foil-wide"]["thickness_mm"])
FAR = 1000.0


def disc_through(first: Place, second: Place, third: Place) -> Geometry:
    """The disc whose border goes through three points: its middle is as far from each (two linear equations)."""
    points = np.array([first, second, third])
    middle = np.linalg.solve(2 * (points[1:] - points[0]), (points[1:] ** 2 - points[0] ** 2).sum(axis=1))
    return shapely.Point(middle).buffer(float(np.linalg.norm(points[0] - middle)), quad_segs=400)


def bead_over(half_width: float, face: float, height: float) -> Geometry:
    """A bead on the face of glass that lies at ``face``, above the middle; it reaches to both sides of nothing."""
    disc = disc_through((-half_width, face), (half_width, face), (0, face + height))
    return disc.intersection(shapely.box(-FAR, face, FAR, FAR))


def mirrored(shape: Geometry) -> Geometry:
    """The same on the other face of the glass."""
    return shapely.affinity.scale(shape, yfact=-1, origin=(0, 0))


def seam_section(foil: float, thin: float, glass: float, gap: float, height: float) -> Geometry:
    """The section across a seam, its middle at the origin and the faces of the glass above and below it."""
    wrap, half = (foil - glass) / 2, max(0.0, gap / 2 - thin)
    bead = bead_over(gap / 2 + wrap, glass / 2, height)
    return shapely.union_all([bead, mirrored(bead), shapely.box(-half, -glass / 2, half, glass / 2)])


def rim_section(foil: float, glass: float, height: float) -> Geometry:
    """The section across a rim, the glass to the left of x = 0: half a bead on each face, a round to the right."""
    half = bead_over((foil - glass) / 2, glass / 2, height).intersection(shapely.box(-FAR, -FAR, 0, FAR))
    edge = disc_through((0, -glass / 2), (0, glass / 2), (height, 0)).intersection(shapely.box(0, -FAR, FAR, FAR))
    return shapely.union_all([half, mirrored(half), edge])


def grams_a_metre(section: Geometry) -> float:
    """The mass of a metre of solder with a section, as a solid."""
    polygons = [part for part in shapely.get_parts(section) if isinstance(part, Polygon)]
    solids = [trimesh.creation.extrude_polygon(part, METRE_MM) for part in polygons]
    assert all(solid.is_volume for solid in solids)
    return float(sum(solid.volume for solid in solids)) / 1000 * DENSITY


def bead_grams(root: Path, foil: str, glass: str, gap: str, heights: tuple[str, str]) -> tuple[float, float]:
    """What the program has for a metre of seam and of rim of a pane of two, in g."""
    making = f"{TABLES['making']}\nfoil_gap_mm = {gap}\nseam_height_mm = {heights[0]}\nrim_height_mm = {heights[1]}"
    sheets = {name: {"thickness_mm": glass} for name in ("reed", "slate")}
    metal = {"solder": {"density_g_cm3": str(DENSITY)}, "foil-wide": {"width_mm": foil}}
    narrow = {"foil-narrow": {"width_mm": "3.01"}}
    (piece,) = makings(content(root, tables={"making": making}, materials={**sheets, **metal, **narrow}))
    return piece.bead.seam_g_m, piece.bead.rim_g_m


# Foil and glass by the trade's sizes (common practice, no source): 7/32 in and 1/4 in on 3 mm, 5/16 in on 5 mm.
SIZES = [
    ("5.556", "3", "0.8", ("1.2", "0.9")),
    ("6.35", "3", "0.8", ("1.5", "1.0")),
    ("7.938", "5", "1.6", ("1.0", "0.6")),
    ("5.556", "3", "0", ("0.7", "1.5")),
]


@pytest.mark.parametrize(("foil", "glass", "gap", "heights"), SIZES)
def test_a_metre_of_solder(tmp_path: Path, foil: str, glass: str, gap: str, heights: tuple[str, str]) -> None:
    """A metre of seam and a metre of rim weigh what the solids weigh."""
    seam, rim = bead_grams(tmp_path, foil, glass, gap, heights)
    wide, thick, open_mm = float(foil), float(glass), float(gap)
    assert seam == pytest.approx(grams_a_metre(seam_section(wide, THIN, thick, open_mm, float(heights[0]))), rel=SAME)
    assert rim == pytest.approx(grams_a_metre(rim_section(wide, thick, float(heights[1]))), rel=SAME)


def test_a_seam_by_hand() -> None:
    """A bead of 4 x 2 mm is half a disc: two, and 0.8 x 3 mm between foils of 0.1 mm, are pi x 4 + 2.4 mm2 (C)."""
    section = seam_section(6.0, 0.1, 3.0, 1.0, 2.0)
    assert section.area == pytest.approx(np.pi * 4 + 2.4, rel=SAME)
    assert rim_section(6.0, 3.0, 1.5).area == pytest.approx(np.pi * 1.5**2, rel=SAME)


def test_the_solder_of_a_pane(tmp_path: Path) -> None:
    """A pane of 100 x 60 mm has 60 mm of seam and 320 mm of rim; its beads weigh those lengths of the solids."""
    making = f"{TABLES['making']}\nfoil_gap_mm = 0.8\nseam_height_mm = 1.2\nrim_height_mm = 0.9\njoint_solder_g = 0"
    metal = {"solder": {"density_g_cm3": str(DENSITY)}}
    body = suspension(content(tmp_path, record(box=BOX), {"making": making}, metal)).body
    # The foil of 5.56 mm: it wraps 1.28 mm onto each face, the one of 4.76 mm less than the millimetre asked for.
    assert body.share("seam") == pytest.approx(0.060 * grams_a_metre(seam_section(5.56, THIN, 3, 0.8, 1.2)), rel=SAME)
    # Beside the gap of 0.8 mm 99.2 of 100 mm are glass: 3 mm of it at 2.5 g/cm3 (EN 572-1, S2), by hand.
    assert body.share("glass") == pytest.approx(99.2 * 60 * 3 * 2.5 / 1000)
    assert body.share("rim") == pytest.approx(0.320 * grams_a_metre(rim_section(5.56, 3, 0.9)), rel=SAME)
