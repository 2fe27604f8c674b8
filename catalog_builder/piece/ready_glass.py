"""The mass of a piece of glass that is bought ready: a bevel, a nugget, a flat roundel. mm, mm3, g."""

from __future__ import annotations

import math

from shapely import Polygon

from catalog_builder.records.material import Material

# Inside corners of a bevel meet in a point, as they are ground.
_JOIN = "mitre"


def ready_made_mass_g(material: Material, outline: Polygon) -> float:
    """Give the mass of a piece: as weighed, else the volume of its section over its outline times its density."""
    if material.mass_g is not None:
        return float(material.mass_g)
    return volume_mm3(material, outline) * material.density / 1000


def volume_mm3(material: Material, outline: Polygon) -> float:
    """Give the volume of a piece in mm3 by its section.

    Flat: area x thickness. Bevelled: above its edge the area falls with the bevel's width in a square law, so that
    Simpson's rule over edge, middle and top is exact (the prismoidal formula). Domed: a spherical cap over its edge,
    area x height / 2 + pi height^3 / 6, exact for a round outline (both formulas from memory, checked against meshes).
    """
    thick, edge = float(material.thickness_mm or 0), material.foiled_mm
    rise, area = thick - edge, float(outline.area)
    if material.section == "domed":
        return area * (edge + rise / 2) + math.pi * rise**3 / 6
    if material.section == "bevelled":
        wide = float(material.bevel_mm or 0)
        middle, top = (float(outline.buffer(-share * wide, join_style=_JOIN).area) for share in (0.5, 1.0))
        return area * edge + rise * (area + 4 * middle + top) / 6
    return area * thick
