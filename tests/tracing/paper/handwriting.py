"""Digits and arrows as strokes, as a maker numbers pieces and shows the grain."""

from __future__ import annotations

import numpy as np

from tests.tracing.designs.design import Points, resampled

# Each digit in a box 0.6 wide and 1 high, y downwards.
_DIGITS: dict[str, list[list[tuple[float, float]]]] = {
    "1": [[(0.1, 0.25), (0.35, 0.0), (0.33, 1.0)]],
    "2": [[(0.05, 0.22), (0.15, 0.03), (0.42, 0.03), (0.52, 0.25), (0.35, 0.6), (0.03, 0.98), (0.58, 0.95)]],
    "3": [[(0.05, 0.08), (0.35, 0.0), (0.52, 0.2), (0.25, 0.45), (0.55, 0.65), (0.42, 0.95), (0.03, 0.92)]],
    "4": [[(0.4, 0.0), (0.02, 0.62), (0.6, 0.62)], [(0.42, 0.4), (0.4, 1.0)]],
    "5": [[(0.5, 0.0), (0.12, 0.02), (0.08, 0.42), (0.38, 0.4), (0.55, 0.66), (0.38, 0.97), (0.03, 0.92)]],
    "6": [[(0.45, 0.02), (0.15, 0.35), (0.05, 0.72), (0.25, 0.98), (0.5, 0.8), (0.42, 0.55), (0.1, 0.62)]],
    "7": [[(0.03, 0.03), (0.55, 0.02), (0.22, 1.0)]],
    "8": [[(0.3, 0.46), (0.08, 0.25), (0.3, 0.0), (0.5, 0.22), (0.3, 0.46), (0.05, 0.75), (0.3, 1.0), (0.56, 0.76),
           (0.3, 0.46)]],
    "9": [[(0.5, 0.3), (0.28, 0.48), (0.07, 0.25), (0.28, 0.0), (0.5, 0.28), (0.45, 1.0)]],
    "0": [[(0.3, 0.0), (0.06, 0.3), (0.1, 0.8), (0.32, 1.0), (0.55, 0.7), (0.52, 0.25), (0.3, 0.0)]],
}  # fmt: skip


def digits(number: int, at: Points, height_mm: float, chance: np.random.Generator) -> list[Points]:
    """Write a number about a point, shape (2,), a little slanted and shaky."""
    word = str(number)
    strokes = []
    slant = chance.uniform(-0.15, 0.25)
    for place, digit in enumerate(word):
        for run in _DIGITS[digit]:
            points = resampled(np.array(run) + chance.uniform(-0.03, 0.03, (len(run), 2)), 0.06)
            points[:, 0] += 0.75 * (place - (len(word) - 1) / 2) - 0.3 - slant * (points[:, 1] - 0.5)
            points[:, 1] -= 0.5
            strokes.append(at + points * height_mm)
    return strokes


def arrow(at: Points, length_mm: float, degrees: float) -> list[Points]:
    """Draw a grain arrow with its head, its middle at a point, shape (2,)."""
    along = np.array([np.cos(np.radians(degrees)), -np.sin(np.radians(degrees))])
    side = np.array([-along[1], along[0]])
    tip = at + along * length_mm / 2
    head = min(3.0, length_mm / 3)
    barbs = np.array([tip - along * head + side * head / 2, tip, tip - along * head - side * head / 2])
    return [np.array([at - along * length_mm / 2, tip]), barbs]
