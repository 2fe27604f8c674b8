"""Borders of an open atlas as designs: countries of a region, small ones joined to a neighbour.

Source: world atlas in TopoJSON (npm `world-atlas` 2.0.2, from Natural Earth, public domain), as kept in
tests/outside/data.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from shapely import LineString, Polygon

from tests.tracing.designs.design import Design, Points, inner_radius_mm, resampled
from tests.tracing.designs.room_for_pen import has_room_for

DATA = Path(__file__).resolve().parents[2] / "outside" / "data" / "world_50m.json"
# Countries by their ISO 3166-1 numeric codes, and the width that they are drawn in, mm.
REGIONS: dict[str, tuple[str, float]] = {
    "south-africa": ("024 894 710 516 072 716 508 454 834 748", 140),
    "balkans": ("642 100 688 070 191 807 008 499 348 703 040", 160),
    "middle-europe": ("276 616 203 040 348 703", 160),
    "east-africa": ("736 231 706 404 800 834 728 729 180", 150),
    "west-asia": ("792 760 368 364 682 400 887 512", 165),
    "sahara": ("012 434 818 729 148 562 466 854", 175),
}
DEV = ("south-africa", "balkans", "middle-europe")
CHECK = ("east-africa", "west-asia", "sahara")
_LEAST_RADIUS_MM = 4.5
# A hand leads a line straight to the one that it meets, takes no bend shorter, and turns no further at once.
_LEADS_IN_MM, _BEND_MM, _MOST_DEGREES = 7.0, 3.5, 110.0


@cache
def _topology() -> Any:
    return json.loads(DATA.read_text(encoding="utf-8"))


@cache
def atlas_design(name: str) -> Design:
    """Draw the borders of a region, simplified until a pen of 1 mm has room for them, as by a hand."""
    for simplify_mm in (1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0):
        design = _design(name, simplify_mm)
        if has_room_for(design, 1.0):
            return design
    raise ValueError(f"no pen can draw {name}")


def _design(name: str, simplify_mm: float) -> Design:
    data = _topology()
    codes, width = REGIONS[name]
    arcs = [np.cumsum(np.array(arc, dtype=float), axis=0) for arc in data["arcs"]]
    size, shift = np.array(data["transform"]["scale"]), np.array(data["transform"]["translate"])
    arcs = [arc * size + shift for arc in arcs]
    rings = [_mainland(country["arcs"], country["type"], arcs) for country in _countries(data, set(codes.split()))]
    used = sorted({_plain(index) for ring in rings for index in ring})
    places = np.concatenate([arcs[index] for index in used])
    latitude = np.radians(places[:, 1].mean())
    flat = {index: arcs[index] * (np.cos(latitude), -1) for index in used}
    places = np.concatenate(list(flat.values()))
    scale = width / float(np.ptp(places[:, 0]))
    middle = (places.min(axis=0) + places.max(axis=0)) / 2
    lines = {index: _drawn((points - middle) * scale, simplify_mm) for index, points in flat.items()}
    groups = _merged(rings, lines)
    owners: dict[int, set[int]] = {}
    counts: dict[int, int] = {}
    for group, ring in zip(groups, rings, strict=True):
        for index in ring:
            owners.setdefault(_plain(index), set()).add(group)
            counts[_plain(index)] = counts.get(_plain(index), 0) + 1
    kept = [lines[index] for index in used if len(owners[index]) > 1 or counts[index] == 1]
    return Design(name, tuple(kept))


def _plain(index: int) -> int:
    return index if index >= 0 else ~index


def _countries(data: Any, codes: set[str]) -> list[Any]:
    return [country for country in data["objects"]["countries"]["geometries"] if country.get("id") in codes]


def _mainland(rings: Any, kind: str, arcs: list[Points]) -> list[int]:
    shells: list[list[int]] = [rings[0]] if kind == "Polygon" else [polygon[0] for polygon in rings]
    lines = dict(enumerate(arcs))
    return max(shells, key=lambda shell: float(Polygon(_ring(shell, lines)).area))


def _ring(indices: list[int], lines: dict[int, Points]) -> Points:
    parts = [lines[index] if index >= 0 else lines[~index][::-1] for index in indices]
    return np.concatenate([parts[0], *(part[1:] for part in parts[1:])])


def _drawn(points: Points, simplify_mm: float) -> Points:
    """Simplify a border to what a pen can draw, and round its corners (Chaikin, two rounds)."""
    line = LineString(points)
    simple = _as_by_hand(np.array(line.simplify(simplify_mm if line.length > 8 else 0.5).coords))
    for _ in range(2):
        near, far = simple[:-1] * 0.75 + simple[1:] * 0.25, simple[:-1] * 0.25 + simple[1:] * 0.75
        between = np.stack([near, far], axis=1).reshape(-1, 2)
        closed = np.allclose(simple[0], simple[-1])
        simple = (
            np.concatenate([between, between[:1]])
            if closed
            else np.concatenate([simple[:1], between[1:-1], simple[-1:]])
        )
    return resampled(simple, 0.3)


def _as_by_hand(corners: Points) -> Points:
    """Leave out the corners that follow too soon, and those of spikes."""
    at_end = _BEND_MM if np.allclose(corners[0], corners[-1]) else _LEADS_IN_MM
    kept = [corners[0]]
    for corner in corners[1:-1]:
        if np.hypot(*(corner - kept[-1])) >= (at_end if len(kept) == 1 else _BEND_MM):
            kept.append(corner)
    while len(kept) > 1 and np.hypot(*(corners[-1] - kept[-1])) < at_end:
        kept.pop()
    kept.append(corners[-1])
    while len(kept) > 2:
        ways = np.diff(np.array(kept), axis=0)
        turns = np.abs((np.diff(np.arctan2(ways[:, 1], ways[:, 0])) + np.pi) % (2 * np.pi) - np.pi)
        if turns.max() < np.radians(_MOST_DEGREES):
            break
        kept.pop(int(turns.argmax()) + 1)
    return np.array(kept)


def _merged(rings: list[list[int]], lines: dict[int, Points]) -> list[int]:
    """Give each country the number of its group; countries too narrow for a pen join the neighbour most shared."""
    groups = list(range(len(rings)))
    shapes = {number: shapely.make_valid(Polygon(_ring(ring, lines))) for number, ring in enumerate(rings)}
    while len(shapes) > 2:
        small = min(shapes, key=lambda number: inner_radius_mm(shapes[number]))
        if inner_radius_mm(shapes[small]) >= _LEAST_RADIUS_MM:
            break
        shared = {
            other: sum(
                float(np.hypot(*np.diff(lines[_plain(a)], axis=0).T).sum())
                for a in _of(groups, rings, small) & _of(groups, rings, other)
            )
            for other in shapes
            if other != small
        }
        into = max(shared, key=lambda other: shared[other])
        shapes[into] = shapely.union_all([shapes[into], shapes.pop(small)], grid_size=1e-3)
        groups = [into if group == small else group for group in groups]
    return groups


def _of(groups: list[int], rings: list[list[int]], group: int) -> set[int]:
    return {_plain(index) for number, ring in zip(groups, rings, strict=True) if number == group for index in ring}
