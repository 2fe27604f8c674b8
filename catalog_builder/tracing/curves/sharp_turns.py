"""Corners of a line: places where it turns sharply and runs on smoothly on both sides."""

from __future__ import annotations

import numpy as np

from catalog_builder.tracing.arrays import Points

_LEAST_DEGREES = 26.0
# Of the whole turn, what lies on either side of a corner; along a circle it is 0.6.
_SPREAD = 0.45


def sharp_turns(points: Points, *, closed: bool, step_mm: float, pen_mm: float) -> list[int]:
    """Give the indices of the corners of a line (n, 2) in mm, whose points lie ``step_mm`` apart."""
    count = len(points)
    near = max(1, round((0.55 * pen_mm + 0.25) / step_mm))
    far = near + max(3, round(2.6 / step_mm))
    if count < 2 * far + 2:
        far = near + max(2, round(1.4 / step_mm))
    if count < 2 * far + 1:
        return []
    index = np.arange(count) if closed else np.arange(far, count - far)
    middle = (near + far) // 2

    def at(shift: int) -> Points:
        return np.asarray(points[(index + shift) % count])

    turn = _degrees(at(-near) - at(-far), at(far) - at(near))
    before = _degrees(at(-middle) - at(-far), at(-near) - at(-middle))
    after = _degrees(at(middle) - at(near), at(far) - at(middle))
    aside = np.abs(before) + np.abs(after)
    score = np.where((np.abs(turn) > _LEAST_DEGREES) & (aside < _SPREAD * np.abs(turn)), np.abs(turn) - 0.5 * aside, 0)
    corners = []
    while score.size and score.max() > 0:
        best = _middle_of_peak(score)
        corners.append(int(index[best]))
        apart = np.abs(index - index[best])
        score[(np.minimum(apart, count - apart) if closed else apart) < far] = 0
    return sorted(corners)


def _middle_of_peak(score: Points) -> int:
    """Give the middle of the highest stretch: all places whose inner points lie on both sides of a corner see it."""
    first = last = int(score.argmax())
    while last + 1 < len(score) and score[last + 1] > 0.97 * score[first]:
        last += 1
    return (first + last) // 2


def _degrees(first: Points, second: Points) -> Points:
    cross = first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]
    return np.asarray(np.degrees(np.arctan2(cross, (first * second).sum(axis=1))))
