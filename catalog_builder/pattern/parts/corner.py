"""Corners in space: seams along which the faces of different copies meet, and the angles between these faces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from catalog_builder.pattern.parts.copies import BESIDE_MM, Copy
from catalog_builder.pattern.svg.curve import Points

# Copies whose plane is this near to a corner's middle and turns away from it by less than this take part in it.
REACH_MM = 0.7
ALONG = 0.02
# Two faces at less than this angle are the same.
APART_DEGREES = 0.5
FLAT = (180.0, 180.0)


@dataclass(frozen=True, slots=True, eq=False)
class Corner:
    """A straight seam in space: ``points`` has shape (2, 3), in mm.

    ``sectors`` are the angles in degrees between neighbouring faces all round it, 360 together: two faces of a box
    have (90, 270), two that lie flat (180, 180). ``counted``: its length counts; else a drawing's own flat seam lies
    there and counts already, and others are joined on to it.
    """

    points: Points
    sectors: tuple[float, ...] = FLAT
    counted: bool = True

    @property
    def length_mm(self) -> float:
        """How long it is."""
        return float(np.linalg.norm(self.points[1] - self.points[0]))


def corner_at(points: Points, copies: Sequence[Copy], glass: Sequence[BaseGeometry], counted: bool = True) -> Corner:
    """Make the corner of a straight seam, shape (2, 3): look round its middle for the faces that meet there.

    ``glass`` is that of each copy in its own plane. A seam with fewer than two faces, as on a wire, counts as flat.
    """
    middle = points.mean(axis=0)
    along = (points[1] - points[0]) / np.linalg.norm(points[1] - points[0])
    faces = [face for copy, shape in zip(copies, glass, strict=True) for face in _faces(middle, along, copy, shape)]
    if len(faces) < 2:
        return Corner(points, FLAT, counted)
    first = faces[0] - (faces[0] @ along) * along
    first /= np.linalg.norm(first)
    second = np.cross(along, first)
    turns = np.sort(np.degrees(np.arctan2([face @ second for face in faces], [face @ first for face in faces])) % 360)
    sectors = np.diff(np.append(turns, turns[0] + 360))
    # A face that lies on another one, or that is met twice, is one face.
    sectors = np.round(sectors[(sectors > APART_DEGREES) & (sectors < 360 - APART_DEGREES)], 6)
    return Corner(points, tuple(sectors.tolist()) if len(sectors) > 1 else FLAT, counted)


def _faces(middle: Points, along: Points, copy: Copy, glass: BaseGeometry) -> list[Points]:
    """Give the directions from a corner into a copy's glass, as vectors of shape (3,)."""
    place = copy.place
    if abs(float((middle - place.origin) @ place.normal)) > REACH_MM or abs(float(along @ place.normal)) > ALONG:
        return []
    at = place.flat(middle[None])[0]
    line = np.array([along @ place.across, along @ place.down])
    off = BESIDE_MM * np.array([-line[1], line[0]]) / np.hypot(*line)
    sides = [side for side in (off, -off) if shapely.contains_xy(glass, *(at + side))]
    return [side[0] * place.across + side[1] * place.down for side in sides]
