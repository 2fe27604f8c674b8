"""The robust fit gives what scipy gives for the same loss."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import least_squares

from catalog_builder.tracing.arrays import Points
from catalog_builder.tracing.sheet.robust_fit import robust_fit

AT = np.linspace(0, 10, 60)


@pytest.mark.parametrize("seed", range(5))
def test_a_curve_is_fitted_as_scipy_fits_it(seed: int) -> None:
    """Amplitude, rate and height of a decay with noise and three places that are far off."""
    chance = np.random.default_rng(seed)
    seen = 20 * np.exp(-0.4 * AT) + 3 + chance.normal(0, 0.3, len(AT))
    seen[[5, 20, 41]] += 30

    def off(values: Points) -> Points:
        return np.asarray(values[0] * np.exp(-values[1] * AT) + values[2] - seen)

    start = np.array([15.0, 0.2, 1.0])
    other = least_squares(off, start, loss="soft_l1", xtol=1e-12, ftol=1e-12).x
    assert robust_fit(off, start) == pytest.approx(other, abs=1e-3)
    assert robust_fit(off, start) == pytest.approx([20, 0.4, 3], abs=0.6)


def test_a_fit_that_is_done_stays() -> None:
    """Where nothing is off, nothing moves."""
    assert robust_fit(lambda values: values - 1, np.ones(2)) == pytest.approx([1, 1])
