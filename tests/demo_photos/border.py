"""Borders: the wooden or metal frame round a panel, its sides mitred at the corners."""

from __future__ import annotations

import numpy as np
import shapely

from tests.demo_photos.mesh import Mesh, prism
from tests.demo_photos.subject import Subject, outline_of


def border_mesh(subject: Subject) -> Mesh:
    """Make the frame round the main flat of a subject (y upwards), each side with its grain along it."""
    border = subject.border
    if border is None:
        raise ValueError("there is no frame round this subject")
    panel = shapely.simplify(shapely.Polygon(outline_of(subject.flats[0]).exterior), 0.02)
    inner = shapely.get_coordinates(
        shapely.orient_polygons(panel.buffer(-border.covers_mm, join_style="mitre")).exterior
    )
    outer = _pushed(inner[:-1], border.wide_mm)
    sides = []
    for here in range(len(outer)):
        there = (here + 1) % len(outer)
        section = np.array([inner[here], inner[there], outer[there], outer[here]])
        sides.append(prism(section, border.deep_mm, min(1.2, border.deep_mm / 6)))
    return _together(sides)


def _pushed(corners: np.ndarray, wide: float) -> np.ndarray:
    """Give the corners of a ring pushed outwards, so that each side lies ``wide`` further out."""
    ahead = np.roll(corners, -1, axis=0) - corners
    ahead /= np.linalg.norm(ahead, axis=1, keepdims=True)
    off = np.column_stack([ahead[:, 1], -ahead[:, 0]])
    if shapely.Polygon(corners + 0.01 * off).area < shapely.Polygon(corners).area:
        off = -off
    before = np.roll(off, 1, axis=0)
    mitre = off + before
    return np.asarray(corners + mitre * (wide / (1 + (off * before).sum(axis=1)))[:, None])


def _together(sides: list[Mesh]) -> Mesh:
    starts = np.cumsum([0] + [len(side.points) for side in sides[:-1]])
    return Mesh(
        np.concatenate([side.points for side in sides]),
        np.concatenate([side.triangles + start for side, start in zip(sides, starts, strict=True)]),
        np.concatenate([side.uv for side in sides]),
        np.concatenate([side.normals for side in sides if side.normals is not None]),
    )
