"""A cubic spline of least squares by B-splines (C. de Boor, A Practical Guide to Splines, 1978).

scipy.interpolate does the same; its import takes longer than the curves of a whole drawing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog_builder.tracing.arrays import Points


@dataclass(frozen=True, slots=True)
class CubicSpline:
    """Coefficients, shape (n, 2), over knots, shape (n + 4,)."""

    knots: Points
    coefficients: Points

    def at(self, places: Points) -> Points:
        """Give points (m, 2) at places along it."""
        return np.asarray(_basis(self.knots, places, 3) @ self.coefficients)

    def slopes(self, places: Points) -> Points:
        """Give the first derivatives (m, 2) at places along it."""
        spans = self.knots[4:-1] - self.knots[1:-4]
        slopes = 3 * np.diff(self.coefficients, axis=0) / spans[:, None]
        return np.asarray(_basis(self.knots[1:-1], places, 2) @ slopes)


def fitted_spline(at: Points, points: Points, inner: Points, weights: Points) -> CubicSpline | None:
    """Fit points (m, 2) at ascending places (m,) with knots ``inner`` between; None where these are too many.

    The sum of the squares of weights times distances is least.
    """
    knots = np.concatenate([[at[0]] * 4, inner, [at[-1]] * 4])
    basis = _basis(knots, at, 3) * weights[:, None]
    heights, _, rank, _ = np.linalg.lstsq(basis, points * weights[:, None], rcond=None)
    return CubicSpline(knots, np.asarray(heights, dtype=np.float64)) if rank == basis.shape[1] else None


def _basis(knots: Points, places: Points, degree: int) -> Points:
    """Give the value of each B-spline at each place, shape (m, n), by the recursion of Cox and de Boor."""
    last = len(knots) - degree - 2
    span = np.clip(np.searchsorted(knots, places, side="right") - 1, degree, last)
    values: Points = (np.arange(len(knots) - 1) == span[:, None]).astype(np.float64)
    for order in range(1, degree + 1):
        count = len(knots) - 1 - order
        begin, end = knots[:count], knots[order : order + count]
        begin_next, end_next = knots[1 : count + 1], knots[order + 1 : order + 1 + count]
        rising = (places[:, None] - begin) / np.where(end > begin, end - begin, 1)
        falling = (end_next - places[:, None]) / np.where(end_next > begin_next, end_next - begin_next, 1)
        values = np.asarray(rising * values[:, :count] + falling * values[:, 1 : count + 1])
    return values
