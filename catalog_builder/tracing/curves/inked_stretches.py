"""The stretches of a drawing led through their junctions as the ink shows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from catalog_builder.tracing.arrays import Points, along
from catalog_builder.tracing.curves.corner_tip import Ink
from catalog_builder.tracing.curves.inked_junctions import LEAST_ARM, arm_of, led_along, redrawn
from catalog_builder.tracing.curves.pen_middle import STEP_MM
from catalog_builder.tracing.curves.smooth_curves import between
from catalog_builder.tracing.curves.stretch import Stretch


def inked_stretches(
    stretches: Sequence[Stretch], exact: dict[int, Points], on_fold: set[int], ink: Ink, pen_mm: float
) -> tuple[list[Stretch], dict[int, Points]]:
    """Draw the junctions again in which the pen, led along the lines, would leave other ink than is seen.

    ``exact`` says where the nodes lie; those on the fold stay. Gives the stretches and the nodes anew, all in mm.
    """
    result = dict(enumerate(stretches))
    nodes: dict[tuple[float, ...], set[int]] = {}
    for node, place in exact.items():
        nodes.setdefault(tuple(place.tolist()), set()).add(node)
    for own in nodes.values():
        if own & on_fold:
            continue
        leading = _leading_from(own, result)
        joined = {index: _through_corner(index, each, result, pen_mm) for index, each in leading}
        lines = [joined[index][0] for index, _ in leading]
        arms = [arm_of(_inked(line, exact), pen_mm) for line in lines]
        drawn = redrawn(arms, ink, pen_mm)
        if drawn is None:
            continue
        exact = {**exact, **dict.fromkeys(own, np.round(drawn[0][0], 3))}
        for (index, _), line, arm, points in zip(leading, lines, arms, drawn, strict=True):
            led = led_along(arm.points, points, arm.reach, STEP_MM)
            result[index] = replace(line, points=led, clean=np.ones(len(led), dtype=bool))
            for passed in joined[index][1]:
                result.pop(passed, None)
    return list(result.values()), exact


def _leading_from(own: set[int], stretches: Mapping[int, Stretch]) -> list[tuple[int, Stretch]]:
    """Give the stretches that begin in a junction, turned where they end in it, with their keys.

    None where a line leads from the junction back to it.
    """
    leading = []
    for index, each in stretches.items():
        begins, ends = each.begin in own, each.end in own
        if begins and ends:
            return []
        if begins or ends:
            leading.append((index, each if begins else each.turned))
    return leading


def _through_corner(
    index: int, line: Stretch, stretches: Mapping[int, Stretch], pen_mm: float
) -> tuple[Stretch, list[int]]:
    """Lead a line that is too short for its ink on through the corner at its end; gives the keys of what it passed."""
    if line.end >= 0 or float(along(line.points)[-1]) >= 2 * LEAST_ARM * pen_mm:
        return line, []
    beyond = [(key, each) for key, each in stretches.items() if key != index and line.end in (each.begin, each.end)]
    if len(beyond) != 1 or beyond[0][1].loop:
        return line, []
    key, other = beyond[0]
    other = other if other.begin == line.end else other.turned
    points, clean = np.vstack([line.points[:-1], other.points]), np.concatenate([line.clean[:-1], other.clean])
    return Stretch(line.begin, other.end, points, clean), [key]


def _inked(line: Stretch, exact: Mapping[int, Points]) -> Points:
    """Give the points of a stretch in clean ink alone, between its nodes."""
    begin, end = exact[line.begin], exact[line.end]
    return np.vstack([begin, between(line.points[1:-1][line.clean[1:-1]], begin, end), end])
