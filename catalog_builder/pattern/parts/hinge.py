"""Hinges: one straight line of seams right across a design, along which it can fold."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog_builder.pattern.seams import Edges
from catalog_builder.pattern.svg.curve import Points

# Stretches of seam within this of one straight line count as lying on it.
SAME_ANGLE_DEGREES = 0.5
SAME_LINE_MM = 0.3
# A straight line is drawn in long stretches; the chords of a flattened curve are shorter than this.
SEED_MM = 3.0
# A shorter line bears too little weight to fold. Common practice, no source.
LEAST_MM = 30.0


@dataclass(frozen=True, slots=True)
class Hinge:
    """A straight line of seams from ``begin`` to ``end`` in mm, which alone joins what lies on its two sides."""

    begin: tuple[float, float]
    end: tuple[float, float]

    @property
    def length_mm(self) -> float:
        """How long it is."""
        return math.hypot(self.end[0] - self.begin[0], self.end[1] - self.begin[1])


def read_hinges(edges: Edges, faces: int) -> tuple[Hinge, ...]:
    """Find the straight lines of seams that are all that joins two parts of a design.

    A straight line of seams is a hinge if it has no break from end to end, and the faces fall into more groups once
    it is taken away.
    """
    if not len(edges.seams):
        return ()
    hinges, groups = [], _group_count(edges.owners, faces)
    for members in _lines(edges.seams):
        begin, end, whole = _extent(edges.seams[members])
        length = float(np.hypot(*(end - begin)))
        if whole and length >= LEAST_MM and _group_count(np.delete(edges.owners, members, axis=0), faces) > groups:
            hinges.append(Hinge((float(begin[0]), float(begin[1])), (float(end[0]), float(end[1]))))
    return tuple(sorted(hinges, key=lambda hinge: (-hinge.length_mm, hinge.begin)))


def _lines(seams: Points) -> list[NDArray[np.int64]]:
    """Group stretches of shape (n, 2, 2) by the straight line that they lie on."""
    directions = seams[:, 1] - seams[:, 0]
    angles = np.degrees(np.arctan2(directions[:, 1], directions[:, 0])) % 180
    lengths = np.hypot(*directions.T)
    remaining = np.ones(len(seams), dtype=bool)
    middles = seams.mean(axis=1)
    groups = []
    for index in np.argsort(-lengths, kind="stable"):
        if lengths[index] < SEED_MM:
            break
        if not remaining[index]:
            continue
        turn = math.radians(angles[index])
        normal = np.array([-math.sin(turn), math.cos(turn)])
        off = np.abs((middles - middles[index]) @ normal)
        bend = np.abs((angles - angles[index] + 90) % 180 - 90)
        # The angle of a short stretch is inexact, so both its ends must lie near the line as well.
        ends = np.abs((seams - middles[index]) @ normal).max(axis=1)
        same = remaining & (off <= SAME_LINE_MM) & (ends <= SAME_LINE_MM) & (bend <= SAME_ANGLE_DEGREES)
        remaining &= ~same
        groups.append(np.flatnonzero(same))
    return groups


def _extent(seams: Points) -> tuple[Points, Points, bool]:
    """Give the two ends of a group's line, and whether it is covered without a break."""
    direction = seams[0, 1] - seams[0, 0]
    direction = direction / np.hypot(*direction)
    places = np.sort(seams @ direction, axis=1)
    order = np.argsort(places[:, 0])
    reach = np.maximum.accumulate(places[order, 1])
    whole = bool((places[order, 0][1:] <= reach[:-1] + SAME_LINE_MM).all())
    flat, along = seams.reshape(-1, 2), (seams @ direction).reshape(-1)
    return flat[along.argmin()], flat[along.argmax()], whole


def _group_count(owners: NDArray[np.int64], faces: int) -> int:
    """Count the groups of faces that seams join (union-find); ``owners`` are the two faces of each seam."""
    parents = list(range(faces))

    def root_of(face: int) -> int:
        while parents[face] != face:
            parents[face] = parents[parents[face]]
            face = parents[face]
        return face

    for a, b in np.unique(owners, axis=0).tolist():
        parents[root_of(a)] = root_of(b)
    return len({root_of(face) for face in range(faces)})
