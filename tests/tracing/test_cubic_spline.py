"""The spline of least squares is that of scipy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import make_lsq_spline

from catalog_builder.tracing.curves.cubic_spline import fitted_spline


@pytest.mark.parametrize("inner", [0, 1, 4])
def test_a_spline_and_its_slopes_are_those_of_scipy(inner: int) -> None:
    """Points along a wave with noise, the ends held by weights."""
    chance = np.random.default_rng(inner)
    at = np.sort(chance.uniform(0, 40, 120))
    points = np.stack([at, 5 * np.sin(at / 6)], axis=1) + chance.normal(0, 0.05, (120, 2))
    weights = np.ones(120)
    weights[[0, -1]] = 300
    knots = np.quantile(at, np.linspace(0, 1, inner + 2)[1:-1])
    spline = fitted_spline(at, points, knots, weights)
    other = make_lsq_spline(at, points, np.concatenate([[at[0]] * 4, knots, [at[-1]] * 4]), 3, w=weights)
    assert spline is not None
    assert spline.at(at) == pytest.approx(other(at), abs=1e-6)
    assert spline.slopes(at) == pytest.approx(other.derivative()(at), abs=1e-6)


def test_more_knots_than_points_give_none() -> None:
    """Six points do not say where a spline of ten pieces lies."""
    at = np.linspace(0, 10, 6)
    assert fitted_spline(at, np.stack([at, at], axis=1), np.linspace(1, 9, 9), np.ones(6)) is None
