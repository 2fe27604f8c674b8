"""Meshes: flat glass, swept tubes and boxes, as triangles in mm with y upwards and z towards the camera."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import mapbox_earcut
import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """Triangles: ``points`` (n, 3), ``triangles`` (m, 3), places on a texture ``uv`` (n, 2), ``normals`` or none."""

    points: Floats
    triangles: Ints
    uv: Floats
    normals: Floats | None = None

    def moved(self, pose: Floats) -> Mesh:
        """Give the mesh under a 4 by 4 pose that turns and shifts but does not stretch."""
        points = self.points @ pose[:3, :3].T + pose[:3, 3]
        normals = None if self.normals is None else self.normals @ pose[:3, :3].T
        return replace(self, points=points, normals=normals)

    def write(self, path: Path) -> None:
        """Write it as binary PLY (Stanford polygon file, little endian)."""
        columns = [self.points, *([] if self.normals is None else [self.normals]), self.uv]
        names = ["x", "y", "z", *([] if self.normals is None else ["nx", "ny", "nz"]), "u", "v"]
        table = np.concatenate(columns, axis=1).astype("<f4")
        rows = np.empty(len(self.triangles), dtype=[("count", "u1"), ("index", "<i4", 3)])
        rows["count"], rows["index"] = 3, self.triangles
        head = ["ply", "format binary_little_endian 1.0", f"element vertex {len(table)}"]
        head += [f"property float {name}" for name in names]
        head += [f"element face {len(rows)}", "property list uchar int vertex_indices", "end_header", ""]
        path.write_bytes("\n".join(head).encode() + table.tobytes() + rows.tobytes())


def joined(meshes: list[Mesh]) -> Mesh:
    """Make one mesh of several; normals are dropped."""
    starts = np.cumsum([0] + [len(mesh.points) for mesh in meshes[:-1]])
    return Mesh(
        np.concatenate([mesh.points for mesh in meshes]),
        np.concatenate([mesh.triangles + start for mesh, start in zip(meshes, starts, strict=True)]),
        np.concatenate([mesh.uv for mesh in meshes]),
    )


def filled(shape: Polygon, height_mm: float, facing: int, uv_pose: Floats) -> Mesh:
    """Fill a polygon (y downwards) at a height. ``facing`` is 1 or -1; ``uv_pose`` (3, 2) places it on its sheet."""
    rings = [shapely.get_coordinates(ring)[:-1] for ring in (shape.exterior, *shape.interiors)]
    plane = np.concatenate(rings)
    ends = np.cumsum([len(ring) for ring in rings]).astype(np.uint32)
    triangles = mapbox_earcut.triangulate_float64(plane, ends).reshape(-1, 3).astype(np.int64)
    points = np.column_stack([plane[:, 0], -plane[:, 1], np.full(len(plane), height_mm)])
    a, b, c = (points[triangles[:, index]] for index in range(3))
    wrong = np.cross(b - a, c - a)[:, 2] * facing < 0
    triangles[wrong] = triangles[wrong][:, ::-1]
    uv = np.column_stack([points[:, :2], np.ones(len(points))]) @ uv_pose
    return Mesh(points, triangles, uv)


def tube(path: Floats, radius_mm: float | Floats, sides: int = 12, closed: bool = False) -> Mesh:
    """Sweep a round section along a path of shape (n, 3); ``radius_mm`` is one for all, or one for each place."""
    ahead = np.roll(path, -1, axis=0) - np.roll(path, 1, axis=0)
    if not closed:
        ahead[0], ahead[-1] = path[1] - path[0], path[-1] - path[-2]
    ahead /= np.linalg.norm(ahead, axis=1, keepdims=True)
    side = np.empty_like(path)
    start = np.eye(3)[int(np.abs(ahead[0]).argmin())]
    for index, way in enumerate(ahead):
        # The last side, made square to the way again, turns least from one section to the next.
        start = start - way * (start @ way)
        start /= np.linalg.norm(start)
        side[index] = start
    up = np.cross(ahead, side)
    turn = np.linspace(0, 2 * np.pi, sides, endpoint=False)
    ring = side[:, None] * np.cos(turn)[:, None] + up[:, None] * np.sin(turn)[:, None]
    points = (path[:, None] + np.reshape(radius_mm, (-1, 1, 1)) * ring).reshape(-1, 3)
    rows = np.arange(len(path) if closed else len(path) - 1)
    lower, upper = rows * sides, (rows + 1) % len(path) * sides
    here, there = np.arange(sides), (np.arange(sides) + 1) % sides
    a, b = (lower[:, None] + here).ravel(), (lower[:, None] + there).ravel()
    c, d = (upper[:, None] + there).ravel(), (upper[:, None] + here).ravel()
    triangles = np.concatenate([np.column_stack([a, b, c]), np.column_stack([a, c, d])])
    length = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(path, axis=0), axis=1))])
    uv = np.column_stack([np.repeat(length / 10, sides), np.tile(turn / (2 * np.pi), len(path))])
    return Mesh(points, triangles.astype(np.int64), uv, ring.reshape(-1, 3))


def box(low: tuple[float, float, float], high: tuple[float, float, float], edge_mm: float = 1.0) -> Mesh:
    """Make a box with chamfered edges; a texture's unit is 100 mm, laid from the front, the top and the side."""
    bottom, top = np.array(low), np.array(high)
    corners = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)])
    inward = np.where(corners == 0, 1, -1) * edge_mm
    whole = bottom + corners * (top - bottom)
    loose, normals = _hull(np.concatenate([whole + inward * (1 - np.eye(3)[axis]) for axis in range(3)]))
    others = np.array([[2, 1], [0, 2], [0, 1]])[np.abs(normals).argmax(axis=1)]
    return _crisp(loose, np.take_along_axis(loose, others, axis=1) / 100, normals)


def prism(section: Floats, deep_mm: float, edge_mm: float) -> Mesh:
    """Make a bar with chamfered edges from a convex section of shape (n, 2), y downwards, in front of and behind z = 0.

    A texture's unit is 100 mm; its u runs along the section's first side.
    """
    flat = section * np.array([1.0, -1.0])
    near = shapely.get_coordinates(shapely.Polygon(flat).buffer(-edge_mm, join_style="mitre"))
    half = deep_mm / 2
    layers = [(flat, half - edge_mm), (flat, edge_mm - half), (near, half), (near, -half)]
    loose, normals = _hull(np.concatenate([np.column_stack([at, np.full(len(at), z)]) for at, z in layers]))
    along = np.append((flat[1] - flat[0]) / np.linalg.norm(flat[1] - flat[0]), 0.0)
    across = np.where(np.abs(normals[:, 2:]) > 0.5, np.cross([0, 0, 1.0], along), [0, 0, 1.0])
    uv = np.column_stack([loose @ along, (loose * across).sum(axis=1)]) / 100
    return _crisp(loose, uv + flat[0] / 37, normals)


def lathe(profile: Floats, sides: int = 96) -> Mesh:
    """Turn a profile of shape (n, 2), radius and height, about the upright; its faces look to the left of its way."""
    turn = np.linspace(0, 2 * np.pi, sides + 1)
    steps = np.diff(profile, axis=0)
    ways = np.concatenate([steps[:1], (steps[1:] + steps[:-1]) / 2, steps[-1:]])
    out = np.column_stack([ways[:, 1], -ways[:, 0]])
    out /= np.maximum(np.linalg.norm(out, axis=1, keepdims=True), 1e-9)

    def round_about(plane: Floats) -> Floats:
        side = [plane[:, :1] * np.cos(turn), np.repeat(plane[:, 1:], len(turn), axis=1), -plane[:, :1] * np.sin(turn)]
        return np.stack(side, axis=-1).reshape(-1, 3)

    rows, columns = np.meshgrid(np.arange(len(profile) - 1), np.arange(sides), indexing="ij")
    a = (rows * (sides + 1) + columns).ravel()
    b, c = a + 1, a + sides + 1
    triangles = np.concatenate([np.column_stack([a, b, c]), np.column_stack([b, c + 1, c])])
    height = np.concatenate([[0], np.cumsum(np.linalg.norm(steps, axis=1))])
    uv = np.column_stack([np.tile(turn / (2 * np.pi), len(profile)), np.repeat(height / 100, sides + 1)])
    return Mesh(round_about(profile), triangles.astype(np.int64), uv, round_about(out))


def lifted(plane: Floats, heights: Floats, triangles: Ints, uv_pose: Floats) -> Mesh:
    """Raise triangles of a plane (y downwards) to heights, facing forward and smooth."""
    points = np.column_stack([plane[:, 0], -plane[:, 1], heights])
    corners = points[triangles]
    facing = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    back = facing[:, 2] < 0
    triangles, facing = np.where(back[:, None], triangles[:, ::-1], triangles), np.where(back[:, None], -facing, facing)
    normals = np.zeros_like(points)
    for index in range(3):
        np.add.at(normals, triangles[:, index], facing)
    normals /= np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-12)
    uv = np.column_stack([points[:, :2], np.ones(len(points))]) @ uv_pose
    return Mesh(points, triangles.astype(np.int64), uv, normals)


def _hull(points: Floats) -> tuple[Floats, Floats]:
    """Give the corners of the triangles round points, three for each, and their normals, outwards."""
    from scipy.spatial import ConvexHull

    hull = ConvexHull(points)
    triangles, outward = hull.simplices, hull.equations[:, :3]
    a, b, c = (points[triangles[:, index]] for index in range(3))
    wrong = (np.cross(b - a, c - a) * outward).sum(axis=1) < 0
    triangles[wrong] = triangles[wrong][:, ::-1]
    return points[triangles].reshape(-1, 3), np.repeat(outward, 3, axis=0)


def _crisp(loose: Floats, uv: Floats, normals: Floats) -> Mesh:
    """Make a mesh whose triangles have corners of their own, so that edges stay crisp."""
    return Mesh(loose, np.arange(len(loose)).reshape(-1, 3).astype(np.int64), uv, normals)


def pose(shift: tuple[float, float, float], turn: tuple[float, float, float] = (0, 0, 0)) -> Floats:
    """Give a pose: turned about x, then y, then z by degrees, then shifted."""
    made = np.eye(4)
    for axis, degrees in enumerate(turn):
        one, two = (axis + 1) % 3, (axis + 2) % 3
        step = np.eye(4)
        cos, sin = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
        step[one, one], step[one, two], step[two, one], step[two, two] = cos, -sin, sin, cos
        made = step @ made
    made[:3, 3] = shift
    return made
