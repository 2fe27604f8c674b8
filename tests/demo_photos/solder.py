"""Solder: the rounded beads on seams and rims, with soldered-on wires, as one mesh.

The beads have the sections that the project weighs them by; hand and iron make them a little uneven.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree
from shapely import Geometry
from skimage.measure import marching_cubes

from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.piece.bead import wrap_mm
from catalog_builder.records.studio import Making
from tests.demo_photos.mesh import Mesh
from tests.demo_photos.noise import clouds, step
from tests.demo_photos.subject import Subject, outline_of, wires_of

VOXEL_MM = 0.25
FAR_MM = 6.0
Field = NDArray[np.float32]


def solder_mesh(subject: Subject, flat: FlatPart, making: Making) -> Mesh | None:
    """Make the mesh of all solder and wire of one flat of a subject, in its own plane (y upwards).

    A floor whose edges all lie in corners has none of its own.
    """
    left, top, right, bottom = flat.box
    x = np.arange(left - 4, right + 4, VOXEL_MM)
    y = np.arange(top - 4, bottom + 4, VOXEL_MM)
    half = subject.thickness_mm / 2
    reach = half + float(making.seam_height_mm) + 2
    z = np.arange(-reach, reach + VOXEL_MM, VOXEL_MM)
    field = _field(subject, flat, making, np.stack(np.meshgrid(x, y), axis=-1), z)
    if field.max() <= 0:
        return None
    points, triangles, normals, _ = marching_cubes(field, 0.0, spacing=(VOXEL_MM,) * 3, gradient_direction="ascent")
    place = points[:, [1, 0, 2]] + np.array([x[0], y[0], z[0]])
    normal = normals[:, [1, 0, 2]].astype(np.float64)
    place[:, 1], normal[:, 1] = -place[:, 1], -normal[:, 1]
    a, b, c = (place[triangles[:, index]] for index in range(3))
    outward = np.cross(b - a, c - a)
    if (outward * normal[triangles[:, 0]]).sum() < 0:
        triangles = triangles[:, ::-1]
    lengths = np.linalg.norm(normal, axis=1, keepdims=True)
    return Mesh(place, triangles.astype(np.int64), place[:, :2] / 100, normal / np.maximum(lengths, 1e-9))


def _field(
    subject: Subject, part: FlatPart, making: Making, plane: NDArray[np.float64], z: NDArray[np.float64]
) -> Field:
    """Give a field over the voxels, shape (y, x, z): above 0 inside metal, near 0 about the distance in mm."""
    chance, half = np.random.default_rng(subject.seed), subject.thickness_mm / 2
    wrap = wrap_mm(subject.foil_mm, subject.thickness_mm)
    flat = plane.reshape(-1, 2)
    size = plane.shape[:2]
    uneven = clouds(chance, size, 5 / VOXEL_MM, 5 / VOXEL_MM)
    swell = 1 + 0.10 * clouds(chance, size, 14 / VOXEL_MM, 14 / VOXEL_MM)
    seam = _away(part.edges.seams, flat, size) + 0.10 * uneven
    rim = _away(part.edges.rims, flat, size)
    inside = shapely.contains_xy(outline_of(part), flat[:, 0], flat[:, 1]).reshape(size)
    signed = np.where(inside, -rim, rim) + 0.06 * uneven
    swell = swell + 0.22 * np.exp(-((_near(part.edges.joints, flat, size) / 2.2) ** 2))
    depth = np.abs(z)[None, None]
    # A seam's bead: a circular segment over the foil and the gap.
    width, height = wrap + float(making.foil_gap_mm) / 2, float(making.seam_height_mm) * swell
    radius = (width**2 + height**2) / (2 * height)
    crown = np.sqrt(np.maximum(radius**2 - seam**2, 0)) - (radius - height)
    field = np.minimum((half + crown)[..., None] - depth, (width - seam)[..., None]).astype(np.float32)
    # A rim's bead: round over the edge and over the foil on both faces.
    out = 0.75 * float(making.rim_height_mm)
    across, up = (wrap + out) / 2, half + 0.8 * float(making.rim_height_mm) * swell
    share = np.abs((signed - (out - wrap) / 2) / across)
    rounded = 1 - (share[..., None] ** 2.6 + (depth / up[..., None]) ** 2.6) ** (1 / 2.6)
    field = _blend(field, (rounded * across).astype(np.float32), 0.5)
    # A wire lies over glass where it crosses it, and in its plane elsewhere.
    lift = step(-signed, -0.5, 3.0)
    for line, wire in wires_of(subject, part):
        gap = _away(_stretches(line), flat, size)
        over = z[None, None] - ((half + 0.7 * wire) * lift)[..., None]
        round_wire = wire * 1.12 - np.sqrt(gap[..., None] ** 2 + over**2)
        field = _blend(field, round_wire.astype(np.float32), 0.35)
    for ring in subject.held.rings if part is subject.flats[0] and subject.border is None else ():
        foot = np.hypot(*(plane - np.array(ring)).transpose(2, 0, 1))
        blob = 2.1 - np.sqrt(foot[..., None] ** 2 + (1.1 * depth) ** 2)
        field = _blend(field, blob.astype(np.float32), 0.5)
    return field


def _blend(one: Field, two: Field, soft_mm: float) -> Field:
    """Join two solids with a fillet: the polynomial smooth maximum."""
    mix = np.clip(0.5 + 0.5 * (one - two) / soft_mm, 0, 1)
    return np.asarray(two + (one - two) * mix + soft_mm * mix * (1 - mix), dtype=np.float32)


def _away(stretches: NDArray[np.float64], flat: NDArray[np.float64], size: tuple[int, ...]) -> NDArray[np.float64]:
    """Give each place's distance from straight stretches of shape (n, 2, 2), up to ``FAR_MM``."""
    if not len(stretches):
        return np.full(size, FAR_MM)
    counts = np.maximum(2, np.ceil(np.hypot(*(stretches[:, 1] - stretches[:, 0]).T) / 0.05).astype(int))
    dots = [a + (b - a) * np.linspace(0, 1, count)[:, None] for (a, b), count in zip(stretches, counts, strict=True)]
    return _near(np.concatenate(dots), flat, size)


def _near(dots: NDArray[np.float64], flat: NDArray[np.float64], size: tuple[int, ...]) -> NDArray[np.float64]:
    if not len(dots):
        return np.full(size, FAR_MM)
    away, _ = cKDTree(dots).query(flat, distance_upper_bound=FAR_MM)
    return np.asarray(np.minimum(away, FAR_MM).reshape(size))


def _stretches(line: Geometry) -> NDArray[np.float64]:
    points = shapely.get_coordinates(line)
    return np.stack([points[:-1], points[1:]], axis=1)
