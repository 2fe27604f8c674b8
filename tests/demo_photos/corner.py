"""Corners: the seams in space, where a flat meets another at an angle, found by looking where edges touch."""

from __future__ import annotations

import numpy as np
import shapely
from scipy.ndimage import gaussian_filter1d
from scipy.spatial import cKDTree

from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.pattern.parts.placing import Placing
from catalog_builder.records.studio import Making
from tests.demo_photos.mesh import Floats, Mesh, joined, tube
from tests.demo_photos.subject import UPWARDS, Subject, outline_of

SPACING_MM = 0.5
NEAR_MM = 1.0
SHORTEST_MM = 8.0


def corner_mesh(subject: Subject, making: Making) -> Mesh | None:
    """Make the beads on all corners of a subject (y upwards), or none where it is flat."""
    paths = corner_paths(subject.flats)
    if not paths:
        return None
    chance = np.random.default_rng(subject.seed + 1)
    radius = subject.thickness_mm / 2 + 0.9 * float(making.seam_height_mm)
    return joined([_bead(path * UPWARDS.diagonal(), radius, chance) for path in paths])


def corner_paths(flats: tuple[FlatPart, ...]) -> list[Floats]:
    """Give the paths, each of shape (n, 3), along which an outline touches another copy; each only once."""
    copies = [(flat, place) for flat in flats for place in flat.places]
    dots = [
        np.concatenate([_dotted(piece.face.exterior, place) for piece in flat.pattern.pieces]) for flat, place in copies
    ]
    paths: list[Floats] = []
    for index, (flat, place) in enumerate(copies):
        others = [own for other, own in enumerate(dots) if other != index]
        if not others:
            return []
        tree = cKDTree(np.concatenate(others))
        for ring in shapely.get_parts(outline_of(flat)):
            edge = _dotted(ring.exterior, place)
            touching = tree.query(edge)[0] < NEAR_MM
            if paths:
                touching &= cKDTree(np.concatenate(paths)).query(edge)[0] > NEAR_MM
            paths += [run for run in _runs(edge, touching) if len(run) * SPACING_MM >= SHORTEST_MM]
    return paths


def _dotted(ring: shapely.LinearRing, place: Placing) -> Floats:
    """Give places along a ring in space, about ``SPACING_MM`` apart; corners are kept."""
    return place.points(shapely.get_coordinates(shapely.segmentize(ring, SPACING_MM))[:-1])


def _runs(edge: Floats, touching: np.ndarray) -> list[Floats]:
    """Cut a closed edge into the stretches that touch, each turned at corners into stretches of their own."""
    if not touching.any():
        return []
    start = int(np.argmin(touching)) if not touching.all() else 0
    edge, touching = np.roll(edge, -start, axis=0), np.roll(touching, -start)
    ahead = np.roll(edge, -1, axis=0) - edge
    ahead /= np.maximum(np.linalg.norm(ahead, axis=1, keepdims=True), 1e-9)
    sharp = (ahead * np.roll(ahead, 1, axis=0)).sum(axis=1) < np.cos(np.radians(30))
    runs, run = list[Floats](), list[Floats]()
    for place, touches, turns in zip(edge, touching, sharp, strict=True):
        if touches:
            run.append(place)
        if run and (not touches or turns):
            runs.append(np.array(run))
            run = [place] if touches else []
    if run:
        runs.append(np.array(run))
    return runs


def _bead(path: Floats, radius: float, chance: np.random.Generator) -> Mesh:
    """Lay a rounded bead along a path, a little uneven, with round ends."""
    ways = np.array([path[0] - path[1], path[-1] - path[-2]])
    ways /= np.linalg.norm(ways, axis=1, keepdims=True)
    share = np.linspace(0.98, 0.1, 8)
    head = path[0] + ways[0] * radius * share[:, None]
    tail = path[-1] + ways[1] * radius * share[::-1, None]
    rough = gaussian_filter1d(chance.standard_normal(len(path)), 6)
    around = radius * (1 + 0.05 * rough / max(float(rough.std()), 1e-9))
    ends = radius * np.sqrt(1 - share**2)
    return tube(np.concatenate([head, path, tail]), np.concatenate([ends, around, ends[::-1]]), 20)
