"""Junctions drawn again: lines that bend inside the ink of a junction are led so that the pen leaves the ink seen.

What end curves led on cannot know, the outline of the ink shows (compare the fit of a model to a picture by
K. Levenberg, A method for the solution of certain non-linear problems in least squares, 1944).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from catalog_builder.tracing.arrays import Points, along, length
from catalog_builder.tracing.curves.corner_tip import Ink

# The lines are led anew over so many pens from the junction, and may bend at these shares of that length.
_REACH, _KNEES = 3.5, (0.25, 0.6)
# A shorter line leads to another junction, with its own ink.
LEAST_ARM = 1.6
# Ink is compared at places so far apart, in pens; its edge is blurred over so many mm.
_APART, _BLURRED_MM = 0.2, 0.3
# A junction is drawn again where this share of its ink does not agree, and kept as it was unless that falls so far.
_AMISS, _BETTER = 0.03, 0.7
# Where so much still does not agree with a pen of 1 mm, and less with a wider one, whose edges are a smaller share of
# its ink, other beginnings are tried; their end must be better by this.
_WELL_MM, _CLEARLY = 0.03, 0.8
# A search for the best bends takes so many steps; others begin with the junction so far along a line, in pens.
_TURNS, _ASIDE = 8, 0.7
# A step that makes it no better than this is the last.
_SETTLED = 0.995
# What holds the lines where nothing else does: as much as so many places off by all of their ink, for each pen.
_HELD = 0.2
_STEP = 0.15


@dataclass(frozen=True, slots=True)
class Arm:
    """The end of a line, shape (n, 2) in mm from the junction on; it is led anew up to ``reach`` along it."""

    points: Points
    reach: float


@dataclass(frozen=True, slots=True)
class _Model:
    """Arms with points at even steps, in pens about the junction, and how much each of them follows each bend."""

    points: Points
    begins: Points
    follows: Points


def redrawn(arms: Sequence[Arm], ink: Ink, pen_mm: float) -> list[Points] | None:
    """Give the arms as the ink shows them, each from the junction to its reach; None where it is well as it is.

    The first point is the same for all, and the last of each stays where it is.
    """
    if len(arms) < 3 or min(arm.reach for arm in arms) < LEAST_ARM * pen_mm:
        return None
    middle = arms[0].points[0]
    runs = [_even((arm.points - middle) / pen_mm, arm.reach / pen_mm) for arm in arms]
    model = _model(runs)
    places = _places(min(arm.reach for arm in arms) / pen_mm - 0.6)
    seen = ink(middle + places * pen_mm)
    blur = _BLURRED_MM / pen_mm
    first = float(np.abs(_misfit(model, _straight(model), places, seen, blur)[0]).sum())
    if first < _AMISS * float(seen.sum()):
        return None
    bends, best = _fitted(model, _straight(model), places, seen, blur)
    if best > _WELL_MM / pen_mm * float(seen.sum()):
        others = [_fitted(model, start, places, seen, blur) for start in _aside(model, runs)]
        other, amiss = min(others, key=lambda fit: fit[1])
        if amiss < _CLEARLY * best:
            bends, best = other, amiss
    if best > _BETTER * first:
        return None
    moved = middle + (model.points + model.follows @ bends) * pen_mm
    cuts = np.cumsum([len(run) for run in runs])[:-1]
    return list(np.split(moved, cuts))


def _straight(model: _Model) -> Points:
    return np.zeros((model.follows.shape[1], 2))


def _aside(model: _Model, runs: Sequence[Points]) -> list[Points]:
    """Give other bends to begin with, the junction moved along each line, as a search may stick."""
    starts = []
    for run in runs:
        towards = run[len(run) // 3]
        start = _straight(model)
        start[0] = _ASIDE * towards / max(length(towards), 1e-9)
        starts.append(start)
    return starts


def _fitted(model: _Model, bends: Points, places: Points, seen: Points, blur: float) -> tuple[Points, float]:
    """Give the bends by which the model's ink agrees best, and how much of it does not."""
    off, slopes = _misfit(model, bends, places, seen, blur)
    best = float(np.abs(off).sum())
    damping = 0.3
    held = _HELD * np.eye(bends.size)
    for _ in range(_TURNS):
        step = np.linalg.solve(
            slopes.T @ slopes + (1 + damping) * held, -slopes.T @ off - _HELD * bends.ravel()
        ).reshape(bends.shape)
        step *= min(1.0, 0.5 / max(float(np.abs(step).max()), 1e-9))
        tried, tried_slopes = _misfit(model, bends + step, places, seen, blur)
        amiss = float(np.abs(tried).sum())
        if amiss < best:
            ends = amiss > _SETTLED * best
            bends, off, slopes, best = bends + step, tried, tried_slopes, amiss
            damping *= 0.5
            if ends:
                break
        else:
            damping = 4 * damping + 1
    return bends, best


def _even(points: Points, reach: float) -> Points:
    at = along(points)
    even = np.linspace(0, reach, max(4, round(reach / _STEP) + 1))
    return np.stack([np.interp(even, at, points[:, 0]), np.interp(even, at, points[:, 1])], axis=1)


def _model(runs: Sequence[Points]) -> _Model:
    follows = []
    for index, run in enumerate(runs):
        share = np.linspace(0, 1, len(run))
        at = np.array([0.0, *_KNEES, 1.0])
        own = np.zeros((len(run), 1 + len(_KNEES) * len(runs)))
        own[:, 0] = np.interp(share, at, [1.0] + [0.0] * (len(at) - 1))
        for knee in range(len(_KNEES)):
            own[:, 1 + index * len(_KNEES) + knee] = np.interp(share, at, np.eye(len(at))[knee + 1])
        follows.append(own)
    begins = np.concatenate([np.arange(len(run)) < len(run) - 1 for run in runs])
    return _Model(np.concatenate(runs), begins, np.concatenate(follows))


def _places(reach: float) -> Points:
    side = np.arange(-reach, reach + _APART / 2, _APART)
    grid = np.stack(np.meshgrid(side, side), axis=-1).reshape(-1, 2)
    return np.asarray(grid[np.hypot(*grid.T) <= reach])


def _misfit(model: _Model, bends: Points, places: Points, seen: Points, blur: float) -> tuple[Points, Points]:
    """Give how much more ink the model has at each place than is seen, and how that changes with each bend."""
    points = model.points + model.follows @ bends
    starts = np.flatnonzero(model.begins)
    begin, way = points[starts], points[starts + 1] - points[starts]
    share = ((places[:, None] - begin) * way).sum(axis=2) / np.maximum((way**2).sum(axis=1), 1e-12)
    share = np.clip(share, 0, 1)
    apart = places[:, None] - begin - share[..., None] * way
    away = np.hypot(apart[..., 0], apart[..., 1])
    near = away.argmin(axis=1)
    rows = np.arange(len(places))
    away, share, apart = away[rows, near], share[rows, near], apart[rows, near]
    inked = 0.5 + (0.5 - away) / blur
    # As a place's nearest point moves towards it, there is more ink at it.
    rises = np.where((inked > 0) & (inked < 1), 1 / (blur * np.maximum(away, 1e-6)), 0)[:, None] * apart
    follows = model.follows[starts[near]] * (1 - share[:, None]) + model.follows[starts[near] + 1] * share[:, None]
    slopes = (follows[:, :, None] * rises[:, None, :]).reshape(len(places), -1)
    return np.clip(inked, 0, 1) - seen, slopes


def arm_of(points: Points, pen_mm: float) -> Arm:
    """Give the arm that a line (n, 2) begins with; half of the line is the other end's."""
    return Arm(points, min(_REACH * pen_mm, float(along(points)[-1]) / 2))


def led_along(points: Points, arm: Points, reach: float, step_mm: float) -> Points:
    """Put an arm in place of the beginning of a line, up to ``reach`` along it."""
    at = along(points)
    count = max(2, round(reach / step_mm))
    own = along(arm)
    even = np.linspace(0, own[-1], count, endpoint=False)
    led = np.stack([np.interp(even, own, arm[:, 0]), np.interp(even, own, arm[:, 1])], axis=1)
    return np.vstack([led, points[at >= reach - 1e-9]]) if length(arm[-1] - points[0]) > 0 else points
