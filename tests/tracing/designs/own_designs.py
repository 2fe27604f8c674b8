"""Invented designs: silhouettes split at random, fans, rosettes and lattices, each by a seed.

Those of ``DEV`` are for whoever writes the tracer; those of ``CHECK`` were never looked at while it was written.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from scipy.interpolate import CubicSpline
from shapely import Polygon

from tests.tracing.designs.design import Design, Points, resampled
from tests.tracing.designs.splitting import split_strokes

Run = list[tuple[float, float]]
# The left half of each, from the top of the fold to its bottom, about 100 high; between two runs lies a corner.
SILHOUETTES: dict[str, list[Run]] = {
    "leaf": [[(0, -50), (-22, -22), (-26, 8), (0, 50)]],
    "mushroom": [[(0, -40), (-30, -28), (-48, 4)], [(-48, 4), (-26, 9), (-11, 8)], [(-11, 8), (-9, 26), (-15, 46)],
                 [(-15, 46), (-8, 49), (0, 50)]],
    "drop": [[(0, -54), (-8, -36), (-20, -12), (-32, 14), (-22, 38), (0, 46)]],
    "pot": [[(0, -42), (-20, -42)], [(-20, -42), (-24, -30), (-40, -4), (-34, 26), (-18, 44)], [(-18, 44), (0, 44)]],
    "shield": [[(0, -42), (-20, -40), (-38, -46)], [(-38, -46), (-40, 0), (-26, 30), (0, 50)]],
    "egg": [[(0, -48), (-18, -40), (-34, -4), (-30, 26), (-12, 44), (0, 46)]],
    "boat": [[(0, -52), (-16, -22), (-30, 8)], [(-30, 8), (-20, 14)], [(-20, 14), (-46, 16)],
             [(-46, 16), (-38, 34), (-24, 44)], [(-24, 44), (0, 46)]],
    "lantern": [[(0, -50), (-12, -44)], [(-12, -44), (-28, -26)], [(-28, -26), (-34, 24)], [(-34, 24), (-22, 44)],
                [(-22, 44), (0, 46)]],
    "arch": [[(0, -54), (-20, -46), (-34, -20)], [(-34, -20), (-34, 46)], [(-34, 46), (0, 46)]],
    "bell": [[(0, -46), (-14, -40), (-20, -14), (-26, 14), (-44, 34)], [(-44, 34), (-20, 42), (0, 44)]],
    "heart": [[(0, -24), (-9, -39)], [(-9, -39), (-27, -46), (-45, -28), (-34, 8), (0, 48)]],
}  # fmt: skip


def half_of(name: str, chance: np.random.Generator) -> Design:
    """Draw the left half of a silhouette, split on that side of the fold."""
    runs = _runs(name, chance)
    corners = [runs[0][0], *(run[-1] for run in runs)]
    field = Polygon(np.concatenate([run[(0 if not index else 1) :] for index, run in enumerate(runs)]))
    strokes = split_strokes(field, corners, int(chance.integers(4, 8)), chance)
    return Design(name, (*runs, *strokes), folded=True)


def whole_of(name: str, chance: np.random.Generator) -> Design:
    """Draw a silhouette whose two sides are split differently."""
    runs = _runs(name, chance)
    rim = [*runs, *(run[::-1] * (-1, 1) for run in reversed(runs))]
    corners = [run[0] for run in rim]
    field = Polygon(np.concatenate([run[:-1] for run in rim]))
    return Design(f"{name}-whole", (*rim, *split_strokes(field, corners, int(chance.integers(6, 12)), chance)))


def _runs(name: str, chance: np.random.Generator) -> list[Points]:
    size = chance.uniform((0.85, 0.85), (1.2, 1.2))
    runs = []
    for run in SILHOUETTES[name]:
        points = np.array(run) * size
        if len(points) > 2:
            points[1:-1] += chance.uniform(-1.5, 1.5, points[1:-1].shape)
            along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
            points = CubicSpline(along, points)(np.linspace(0, along[-1], int(along[-1] / 0.3)))
        runs.append(resampled(points, 0.4))
    return runs


def fan(name: str, chance: np.random.Generator) -> Design:
    """Draw a shell: ribs from the hinge to an arc, two of them crossed by an arc between."""
    ribs, radius = int(chance.integers(5, 9)), chance.uniform(80, 100)
    angles = np.radians(np.linspace(-62, 62, ribs + 1))
    hinge = np.array([0.0, radius / 2])
    turn = np.linspace(angles[0], angles[-1], 260)
    wave = radius * (1 + chance.uniform(0.01, 0.03) * np.cos((turn - angles[0]) / (angles[1] - angles[0]) * 2 * np.pi))
    rim = hinge + np.stack([np.sin(turn), -np.cos(turn)], axis=1) * wave[:, None]
    strokes = [rim]
    for angle in angles:
        out = np.interp(angle, turn, wave)
        strokes.append(resampled(hinge + np.array([[0, 0], [np.sin(angle) * out, -np.cos(angle) * out]]), 0.5))
    first = int(chance.integers(0, ribs - 1))
    across = np.linspace(angles[first], angles[first + 2], 90)
    strokes.append(hinge + np.stack([np.sin(across), -np.cos(across)], axis=1) * radius * chance.uniform(0.55, 0.7))
    return Design(name, tuple(strokes))


def rosette(name: str, chance: np.random.Generator) -> Design:
    """Draw petals about a round middle."""
    petals, inner, outer = int(chance.integers(5, 9)), chance.uniform(14, 20), chance.uniform(46, 58)
    start = chance.uniform(0, 2 * np.pi)
    # The spokes stand at points of both rings, so that they meet them exactly.
    turn = start + np.linspace(0, 2 * np.pi, petals * 60 + 1)
    circle = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    circle[-1] = circle[0]
    rim = circle * (outer * (0.86 + 0.14 * np.abs(np.sin(petals * (turn - start) / 2)) ** 0.8))[:, None]
    strokes = [circle * inner, rim]
    for place in range(0, petals * 60, 60):
        along = np.linspace(0, 1, 80)[:, None]
        spoke = circle[place] * inner * (1 - along) + rim[place] * along
        side = np.array([-circle[place][1], circle[place][0]])
        strokes.append(spoke + chance.uniform(-4, 4) * np.sin(along * np.pi) * side)
    return Design(name, tuple(strokes))


def lattice(name: str, chance: np.random.Generator) -> Design:
    """Draw a panel of crossing bars, with a slanting bar in some of its fields."""
    columns, rows = (int(number) for number in chance.integers(2, 5, 2))
    xs = np.cumsum(np.concatenate([[0], chance.uniform(22, 36, columns)]))
    ys = np.cumsum(np.concatenate([[0], chance.uniform(22, 36, rows)]))
    corners = [(np.array([x, ys[0]]), np.array([x, ys[-1]])) for x in xs]
    corners += [(np.array([xs[0], y]), np.array([xs[-1], y])) for y in ys]
    for column in range(columns):
        for row in range(rows):
            if chance.random() < 0.35:
                corners.append((np.array([xs[column], ys[row]]), np.array([xs[column + 1], ys[row + 1]])))
    middle = np.array([xs[-1], ys[-1]]) / 2
    return Design(name, tuple(resampled(np.array(pair) - middle, 0.5) for pair in corners))


Maker = Callable[[str, np.random.Generator], Design]
DEV: dict[str, Maker] = {
    "leaf": half_of, "mushroom": half_of, "drop": half_of, "pot": half_of, "shield": half_of, "egg": half_of,
    "leaf-whole": whole_of, "pot-whole": whole_of, "shield-whole": whole_of, "shell": fan, "panel": lattice,
}  # fmt: skip
CHECK: dict[str, Maker] = {
    "boat": half_of, "lantern": half_of, "arch": half_of, "bell": half_of, "heart": half_of, "egg": half_of,
    "lantern-whole": whole_of, "arch-whole": whole_of, "bell-whole": whole_of, "flower": rosette, "shell": fan,
}  # fmt: skip


def own_design(name: str, makers: dict[str, Maker], chance: np.random.Generator) -> Design:
    """Draw one of the designs by its name."""
    return makers[name](name.removesuffix("-whole"), chance)
