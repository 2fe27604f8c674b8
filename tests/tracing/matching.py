"""Every piece of a traced drawing matched with its truth, one to one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from scipy.optimize import least_squares, linear_sum_assignment
from shapely import Polygon
from shapely.affinity import affine_transform

from catalog_builder.pattern.faces import faces_of
from catalog_builder.pattern.svg.drawing import read_drawing
from catalog_builder.pattern.unfolding import unfold
from catalog_builder.records.reading.source import Source
from tests.tracing.designs.design import Design, Points

# A piece is its truth's where they share this much of what they cover together, and no border lies further off than
# this share of the drawing's size.
LEAST_SHARED = 0.8
FARTHEST = 0.02
_STEP_MM = 0.25


@dataclass(frozen=True, slots=True)
class Match:
    """How a traced drawing compares with its truth.

    ``borders`` holds the distances of matched pieces' borders, both ways, in % of the drawing's longer side, every
    0.25 mm; ``width`` and ``area`` are in %: the larger error of width and height, and that of the sum of all pieces.
    ``amiss`` says in words what is wrong, with places in mm on the truth; it is empty where every piece is right.
    """

    pieces: int
    right: int
    borders: Points
    width: float
    area: float
    amiss: tuple[str, ...]

    @property
    def is_right(self) -> bool:
        """Whether all pieces are there, and no others."""
        return not self.amiss


def traced_pieces(svg: str) -> tuple[list[Polygon], list[str]]:
    """Give the pieces that the program itself finds in a traced drawing, in mm and unfolded, and its complaints."""
    drawing = read_drawing(Source("traced.svg", svg))
    unfolded = unfold(drawing, 1.0, 0.01, 0.3)
    faces, flaws = faces_of(unfolded.outlines, unfolded.lines, 0.3, 0.8)
    return faces, [flaw.wrong for flaw in (*unfolded.flaws, *flaws)]


def match(truth: Design, svg: str) -> Match:
    """Match the pieces of a traced drawing with those of a design, wherever it lies on its sheet.

    A sheet may lie turned in a photo, and a drawing on its sheet: the trace is moved and turned, never scaled nor
    mirrored, until the borders fit best.
    """
    pieces, flaws = traced_pieces(svg)
    meant = list(truth.pieces)
    if not pieces:
        return Match(len(meant), 0, np.zeros(0), 100.0, 100.0, ("no piece was traced", *flaws))
    laid = _laid_over(meant, pieces)
    shared = _shared(meant, laid)
    rows, columns = linear_sum_assignment(-shared)
    borders, right, amiss = [], 0, [f"the program says: {flaw}" for flaw in flaws]
    taken = set()
    for row, column in zip(rows.tolist(), columns.tolist(), strict=True):
        away = _border_distances(meant[row], laid[column]) / truth.size_mm * 100
        if shared[row, column] >= LEAST_SHARED and away.max() <= FARTHEST * 100:
            right += 1
            borders.append(away)
            taken.add(column)
        elif shared[row, column] >= LEAST_SHARED:
            taken.add(column)
            amiss.append(f"a border is {away.max():.1f} % off at {_place(meant[row])}")
    matched = {row for row, column in zip(rows.tolist(), columns.tolist(), strict=True) if column in taken}
    amiss += [f"no piece at {_place(piece)}" for row, piece in enumerate(meant) if row not in matched]
    amiss += [f"a piece too many at {_place(piece)}" for column, piece in enumerate(laid) if column not in taken]
    wide, traced_wide = _box(meant), _box(laid)
    areas = sum(piece.area for piece in meant), sum(piece.area for piece in laid)
    width = float(np.abs(traced_wide / wide - 1).max() * 100)
    area = abs(areas[1] / areas[0] - 1) * 100
    return Match(len(meant), right, np.concatenate([np.zeros(0), *borders]), width, area, tuple(amiss))


def _place(piece: Polygon) -> str:
    at = piece.representative_point()
    return f"({at.x:.0f}, {at.y:.0f}), {piece.area:.0f} mm2"


def _box(pieces: Sequence[Polygon]) -> Points:
    left, top, right, bottom = shapely.total_bounds(pieces)
    return np.array([right - left, bottom - top])


def _shared(meant: Sequence[Polygon], laid: Sequence[Polygon]) -> Points:
    shared = np.zeros((len(meant), len(laid)))
    for row, column in zip(*shapely.STRtree(laid).query(meant, predicate="intersects"), strict=True):
        both = meant[row].intersection(laid[column]).area
        shared[row, column] = both / (meant[row].area + laid[column].area - both)
    return shared


def _border_distances(one: Polygon, other: Polygon) -> Points:
    pairs = (one.boundary, other.boundary), (other.boundary, one.boundary)
    return np.concatenate([_Lines(b).nearest(_samples(a, _STEP_MM))[1] for a, b in pairs])


def _samples(lines: shapely.Geometry, step_mm: float) -> Points:
    """Give points along lines at even steps, corners too."""
    return np.asarray(shapely.get_coordinates(shapely.segmentize(lines, step_mm)))


class _Lines:
    """Lines as single segments, so that the nearest is found by an index."""

    def __init__(self, lines: shapely.Geometry) -> None:
        runs = [shapely.get_coordinates(part) for part in shapely.get_parts(lines)]
        self._ends = np.concatenate([np.stack([run[:-1], run[1:]], axis=1) for run in runs])
        self._tree = shapely.STRtree(shapely.linestrings(self._ends))

    def nearest(self, points: Points) -> tuple[Points, Points]:
        """Give the nearest place on a line for each point, shape (n, 2), and its distance, shape (n,)."""
        begin, end = np.moveaxis(self._ends[self._tree.nearest(shapely.points(points))], 1, 0)
        along = end - begin
        share = ((points - begin) * along).sum(axis=1) / np.maximum((along**2).sum(axis=1), 1e-18)
        place = begin + np.clip(share, 0, 1)[:, None] * along
        return place, np.hypot(*(points - place).T)


def _laid_over(meant: list[Polygon], pieces: list[Polygon]) -> list[Polygon]:
    """Move and turn the traced pieces onto the truth."""
    truth = _Lines(shapely.union_all([piece.boundary for piece in meant]).simplify(0.005))
    points = _samples(shapely.union_all([piece.boundary for piece in pieces]), 2.0)
    points = points[:: max(1, len(points) // 1500)]
    fits = []
    for quarter in range(4):
        turn = _rotation(quarter * np.pi / 2)
        shift = _middle(meant) - turn @ _middle(pieces)
        for share in (0.7, 0.7, 0.8, 0.9):
            moved = points @ turn.T + shift
            near, away = truth.nearest(moved)
            kept = away <= np.quantile(away, share)
            turn, shift = _rigid(points[kept], near[kept])
        fits.append((float(np.minimum(away, 3).mean()), quarter, turn, shift))
    _, _, turn, shift = min(fits, key=lambda fit: fit[:2])
    turn, shift = _settled(points, truth, turn, shift)
    return [_moved(piece, turn, shift) for piece in pieces]


def _settled(points: Points, truth: _Lines, turn: Points, shift: Points) -> tuple[Points, Points]:
    """Move and turn points a little further, until the sum of squares of their distances from the truth is least.

    What is far off counts less (soft L1 from 0.2 mm on).
    """
    laid = points @ turn.T + shift
    middle = laid.mean(axis=0)

    def away(by: Points) -> Points:
        return truth.nearest((laid - middle) @ _rotation(by[2] / 100).T + middle + by[:2])[1]

    by = least_squares(away, np.zeros(3), loss="soft_l1", f_scale=0.2, diff_step=1e-4, x_scale=0.1, max_nfev=30).x
    further = _rotation(by[2] / 100)
    return further @ turn, further @ (shift - middle) + middle + by[:2]


def _middle(pieces: Sequence[Polygon]) -> Points:
    whole = shapely.union_all(pieces).centroid
    return np.array([whole.x, whole.y])


def _rotation(radians: float) -> Points:
    cosine, sine = np.cos(radians), np.sin(radians)
    return np.array([[cosine, -sine], [sine, cosine]])


def _rigid(places: Points, onto: Points) -> tuple[Points, Points]:
    """Give the turn and the shift that bring places nearest to others, by the singular values of their covariance.

    Source: Kabsch, A solution for the best rotation to relate two sets of vectors, Acta Crystallographica A32 (1976).
    """
    middle, target = places.mean(axis=0), onto.mean(axis=0)
    left, _, right = np.linalg.svd((places - middle).T @ (onto - target))
    flip = np.diag([1.0, float(np.sign(np.linalg.det(left @ right)))])
    turn = (left @ flip @ right).T
    return turn, target - turn @ middle


def _moved(piece: Polygon, turn: Points, shift: Points) -> Polygon:
    return affine_transform(piece, [*turn.ravel().tolist(), *shift.tolist()])
