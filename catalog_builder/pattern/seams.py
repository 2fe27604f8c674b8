"""Seams and rims: every edge of the pieces, counted once or twice.

The faces fit each other exactly (each shared edge has the same points on both sides), so an edge of two faces is
a seam and an edge of one face is a rim.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiLineString, Polygon

from catalog_builder.pattern.svg.curve import Points


@dataclass(frozen=True, slots=True, eq=False)
class Edges:
    """The edges of faces that fit each other, all in mm.

    ``seams`` and ``rims`` are straight stretches of shape (n, 2, 2), each once. ``owners`` has shape
    (n, 2): the faces on the two sides of each seam. ``rim_owners`` has shape (n,). ``joints`` are the
    points, shape (k, 2), where three or more stretches meet, seams among them; ``seam_ends`` are those
    of them that lie on a rim.
    """

    seams: Points
    owners: NDArray[np.int64]
    rims: Points
    rim_owners: NDArray[np.int64]
    joints: Points
    seam_ends: Points

    @property
    def seam_mm(self) -> float:
        """The length of all seams, each counted once."""
        return float(_lengths(self.seams).sum())

    @property
    def rim_mm(self) -> float:
        """The length of all rims, of holes too."""
        return float(_lengths(self.rims).sum())

    def seam_lines(self, faces: int) -> list[MultiLineString]:
        """Give for each face the seams on its border, joined to lines as long as they run on."""
        owner = self.owners.T.reshape(-1)
        order = np.argsort(owner, kind="stable")
        both = shapely.linestrings(np.concatenate([self.seams, self.seams])[order])
        sorted_owner = owner[order]
        borders = np.searchsorted(sorted_owner, np.arange(faces + 1))
        own = [both[begin:end] for begin, end in pairwise(borders.tolist())]
        return list(shapely.line_merge([shapely.multilinestrings(lines) for lines in own]))


def _lengths(stretches: Points) -> Points:
    return np.asarray(np.hypot(*(stretches[:, 1] - stretches[:, 0]).T))


def read_edges(faces: Sequence[Polygon]) -> Edges:
    """Find the seams and rims of faces that fit each other."""
    points, owner = _stretches(faces)
    flat = points.reshape(-1, 2)
    # One number for each point and each stretch: numpy sorts numbers far faster than rows.
    places, index = np.unique(np.ascontiguousarray(flat).view(np.complex128).reshape(-1), return_inverse=True)
    nodes = np.stack([places.real, places.imag], axis=1)
    ends = np.sort(index.reshape(-1, 2), axis=1)
    keys = ends[:, 0] * len(nodes) + ends[:, 1]
    _, first, inverse, counts = np.unique(keys, return_index=True, return_inverse=True, return_counts=True)
    order = np.argsort(inverse, kind="stable")
    starts = np.concatenate([[0], np.cumsum(counts)[:-1]])
    shared, single = counts == 2, counts == 1
    owners = np.stack([owner[order[starts[shared]]], owner[order[starts[shared] + 1]]], axis=1)
    unique_ends = ends[first]
    degree = np.bincount(unique_ends.reshape(-1), minlength=len(nodes))
    at_seam = np.bincount(unique_ends[shared].reshape(-1), minlength=len(nodes)) > 0
    at_rim = np.bincount(unique_ends[single].reshape(-1), minlength=len(nodes)) > 0
    return Edges(
        seams=points[first[shared]],
        owners=owners,
        rims=points[first[single]],
        rim_owners=owner[first[single]],
        joints=nodes[(degree > 2) & at_seam],
        seam_ends=nodes[at_seam & at_rim],
    )


def _stretches(faces: Sequence[Polygon]) -> tuple[Points, NDArray[np.int64]]:
    """Give every straight stretch of every ring, shape (n, 2, 2), and the face that it borders."""
    rings, ring_owner = shapely.get_rings(faces, return_index=True)
    points, point_ring = shapely.get_coordinates(rings, return_index=True)
    same = point_ring[1:] == point_ring[:-1]
    stretches = np.stack([points[:-1], points[1:]], axis=1)[same]
    return stretches, np.asarray(ring_owner)[point_ring[:-1][same]]
