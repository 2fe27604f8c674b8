"""The mass of glass bought by the piece, against solids of a general mesh library (trimesh) and by hand."""

from __future__ import annotations

import math
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
import trimesh
from shapely import Point, Polygon, box, get_coordinates

from catalog_builder.piece.ready_glass import ready_made_mass_g, volume_mm3
from catalog_builder.records.material import Material

TRIANGLE = Polygon([(0, 0), (80, 0), (10, 60)])
HEXAGON = Polygon(
    [(40 * math.cos(math.radians(turn)), 40 * math.sin(math.radians(turn))) for turn in range(0, 360, 60)]
)


def material(**cells: Any) -> Material:
    """A row of glass that is bought by the piece."""
    keys = {"material": "star", "title": "Star", "kind": "glass", "pack_size": 1, "pack_unit": "each", **cells}
    return Material.model_validate(
        {name: Decimal(str(cell)) if isinstance(cell, float) else cell for name, cell in keys.items()}
    )


@pytest.mark.parametrize("outline", [box(0, 0, 40, 60), TRIANGLE, HEXAGON], ids=["box", "triangle", "hexagon"])
@pytest.mark.parametrize(("thick", "edge", "wide"), [(5.0, 2.5, 8.0), (4.0, 1.0, 12.0), (6.0, 6.0, 5.0)])
def test_a_bevel_is_the_solid_that_is_ground(outline: Polygon, thick: float, edge: float, wide: float) -> None:
    """A convex bevel is the hull of its edge and of its top; the prismoidal formula gives its volume."""
    glass = material(thickness_mm=thick, section="bevelled", edge_mm=edge, bevel_mm=wide)
    top = get_coordinates(outline.buffer(-wide, join_style="mitre"))
    foot = get_coordinates(outline)
    rows = [(foot, 0.0), (foot, edge), (top, thick)]
    points = np.concatenate([np.column_stack([places, np.full(len(places), height)]) for places, height in rows])
    solid = trimesh.convex.convex_hull(points)
    assert solid.is_watertight
    assert volume_mm3(glass, outline) == pytest.approx(solid.volume, rel=1e-6)


@pytest.mark.parametrize(("radius", "thick", "edge"), [(9.0, 6.0, 1.5), (12.0, 5.0, 2.0), (15.0, 15.0, 0.5)])
def test_a_nugget_is_a_cap_on_its_edge(radius: float, thick: float, edge: float) -> None:
    """A profile turned about its axis: upright along the edge, then an arc of the sphere through edge and top."""
    glass = material(thickness_mm=thick, section="domed", edge_mm=edge)
    rise = thick - edge
    sphere = (radius**2 + rise**2) / (2 * rise)
    heights = np.linspace(0, rise, 200)
    across = np.sqrt(np.maximum(0.0, sphere**2 - (heights + sphere - rise) ** 2))
    profile = [(0.0, 0.0), (radius, 0.0), *zip(across, heights + edge, strict=True)]
    profile[-1] = (0.0, thick)
    solid = trimesh.creation.revolve(np.array(profile), sections=256)
    outline = Point(0, 0).buffer(radius, quad_segs=64)
    assert solid.is_watertight
    assert volume_mm3(glass, outline) == pytest.approx(abs(solid.volume), rel=5e-4)


def test_flat_glass_by_hand() -> None:
    """A slice of 40 by 60 mm and 6 mm: 14.4 cm3, of glass of 2.5 g/cm3 36 g; of agate of 2.6 g/cm3 37.44 g."""
    outline = box(0, 0, 40, 60)
    assert ready_made_mass_g(material(thickness_mm=6), outline) == pytest.approx(36.0)
    assert ready_made_mass_g(material(thickness_mm=6, density_g_cm3=2.6), outline) == pytest.approx(37.44)


def test_what_was_weighed_counts() -> None:
    """A weighed piece weighs what the scale said, whatever its row says of its section."""
    glass = material(thickness_mm=6, section="domed", edge_mm=2, mass_g=7.3)
    assert ready_made_mass_g(glass, box(0, 0, 40, 60)) == 7.3
