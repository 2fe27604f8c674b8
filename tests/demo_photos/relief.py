"""Relief: the fronts of pieces that are bought ready, bevelled or domed, and of flat glass."""

from __future__ import annotations

import numpy as np
import shapely
from scipy.spatial import Delaunay
from shapely import Polygon

from catalog_builder.records.material import Material
from tests.demo_photos.mesh import Floats, Mesh, filled, joined, lifted

GRID_MM = 0.6


def raised(face: Polygon, edge_mm: float, material: Material, uv_pose: Floats) -> Mesh:
    """Make the front of a piece whose edge lies at ``edge_mm``; ``uv_pose`` (3, 2) places it on its sheet."""
    rise = float(material.thickness_mm or 0) - material.foiled_mm
    if material.section == "bevelled" and rise > 0:
        return bevelled(face, edge_mm, rise, float(material.bevel_mm or 0), uv_pose)
    if material.section == "domed" and rise > 0:
        return domed(face, edge_mm, rise, uv_pose)
    return filled(face, edge_mm, 1, uv_pose)


def bevelled(face: Polygon, edge_mm: float, rise_mm: float, wide_mm: float, uv_pose: Floats) -> Mesh:
    """Make a flat table with ground slopes round it, each as wide as the bevel."""
    table = face.buffer(-wide_mm, join_style="mitre")
    if table.is_empty or not isinstance(table, Polygon):
        return filled(face, edge_mm, 1, uv_pose)
    slope = filled(face.difference(table), edge_mm, 1, uv_pose)
    inner = shapely.distance(shapely.points(slope.points[:, 0], -slope.points[:, 1]), face.exterior) > wide_mm / 2
    slope.points[inner, 2] += rise_mm
    return joined([filled(table, edge_mm + rise_mm, 1, uv_pose), slope])


def domed(face: Polygon, edge_mm: float, rise_mm: float, uv_pose: Floats) -> Mesh:
    """Make a dome over a piece: of a round one a cap, of any other as high by its distance from the rim."""
    left, top, right, bottom = face.bounds
    x, y = np.meshgrid(np.arange(left, right, GRID_MM), np.arange(top, bottom, GRID_MM))
    inside = np.column_stack([x.ravel(), y.ravel()])
    inside = inside[shapely.contains_xy(face.buffer(-GRID_MM / 2), inside[:, 0], inside[:, 1])]
    rim = shapely.get_coordinates(shapely.segmentize(face.exterior, GRID_MM))[:-1]
    plane = np.concatenate([rim, inside])
    away = shapely.distance(shapely.points(plane), face.exterior)
    share = np.clip(away / away.max(), 0, 1)
    triangles = Delaunay(plane).simplices
    middles = plane[triangles].mean(axis=1)
    triangles = triangles[shapely.contains_xy(face, middles[:, 0], middles[:, 1])]
    return lifted(plane, edge_mm + rise_mm * np.sqrt(np.clip(1 - (1 - share) ** 2, 0, 1)), triangles, uv_pose)
