"""Least squares against certified values: NIST/ITL, Statistical Reference Datasets, linear least squares (S2).

The data of Norris are as the test suite of scipy (scipy/stats/tests/test_stats.py) has them, those of Longley as
statsmodels' data set of that name; the certified values agree with ten public test suites, save Longley's standard
errors, which are from memory (M) and worked out below in fractions, without any rounding (C).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np
import pytest
from scipy.optimize import lsq_linear

from catalog_builder.planning.least_squares import Fit, collinear, condition, fit

NORRIS_X = (
    0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0, 447.5,
    11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1,
    448.9, 0.5,
)  # fmt: skip
NORRIS_Y = (
    0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9,
    10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4,
    449.2, 0.2,
)  # fmt: skip
# Employed; then deflator, national product, unemployed, armed forces, population, year.
LONGLEY = (
    (60323, 83.0, 234289, 2356, 1590, 107608, 1947), (61122, 88.5, 259426, 2325, 1456, 108632, 1948),
    (60171, 88.2, 258054, 3682, 1616, 109773, 1949), (61187, 89.5, 284599, 3351, 1650, 110929, 1950),
    (63221, 96.2, 328975, 2099, 3099, 112075, 1951), (63639, 98.1, 346999, 1932, 3594, 113270, 1952),
    (64989, 99.0, 365385, 1870, 3547, 115094, 1953), (63761, 100.0, 363112, 3578, 3350, 116219, 1954),
    (66019, 101.2, 397469, 2904, 3048, 117388, 1955), (67857, 104.6, 419180, 2822, 2857, 118734, 1956),
    (68169, 108.4, 442769, 2936, 2798, 120445, 1957), (66513, 110.8, 444546, 4681, 2637, 121950, 1958),
    (68655, 112.6, 482704, 3813, 2552, 123366, 1959), (69564, 114.2, 502601, 3931, 2514, 125368, 1960),
    (69331, 115.7, 518173, 4806, 2572, 127852, 1961), (70551, 116.9, 554894, 4007, 2827, 130081, 1962),
)  # fmt: skip


def explained(found: Fit, amounts: Sequence[float], mean: bool) -> float:
    """R squared by the standard deviation of what is left, about the mean or about 0 as the reference data have it."""
    assert found.spread is not None
    target = np.array(amounts) - (np.mean(amounts) if mean else 0.0)
    return float(1 - found.spread**2 * (len(amounts) - len(found.rates)) / (target @ target))


def test_norris_to_nine_digits() -> None:
    """A straight line with a set-up time: its rates, their errors, what is left and what is explained (Norris, S2)."""
    found = fit([[1.0] * 36, NORRIS_X], NORRIS_Y, signed=True)
    assert found.rates == pytest.approx((-0.262323073774029, 1.00211681802045), rel=1e-10)
    assert found.errors == pytest.approx((0.232818234301152, 4.29796848199937e-4), rel=1e-10)
    assert found.spread == pytest.approx(0.884796396144373, rel=1e-10)
    assert explained(found, NORRIS_Y, mean=True) == pytest.approx(0.999993745883712, rel=1e-12)


def test_noint1_to_nine_digits() -> None:
    """Minutes that go by pieces alone, without a set-up; no rate comes near zero, so that the bound is idle.

    NoInt1 (S2).
    """
    for signed in (False, True):
        amounts = [float(y) for y in range(130, 141)]
        found = fit([[float(x) for x in range(60, 71)]], amounts, signed)
        assert found.rates == pytest.approx((2.07438016528926,), rel=1e-12)
        assert found.errors == pytest.approx((0.0165289256198347,), rel=1e-10)
        assert found.spread == pytest.approx(3.56753034006338, rel=1e-10)
        assert explained(found, amounts, mean=False) == pytest.approx(0.999365492298663, rel=1e-12)


def test_noint2_by_hand() -> None:
    """Three timings: (4 x 3 + 5 x 4 + 6 x 4) / (16 + 25 + 36) = 56 / 77 = 8 / 11 (NoInt2, data M; C)."""
    found = fit([[4.0, 5.0, 6.0]], [3.0, 4.0, 4.0])
    assert found.rates == pytest.approx((8 / 11,), rel=1e-14)
    # What is left is 1/11, 4/11 and -4/11: their squares add up to 3/11, over two that are free.
    assert found.spread == pytest.approx((3 / 22) ** 0.5, rel=1e-12)


def test_longley_to_nine_digits() -> None:
    """Columns that go up and down together: the normal equations would lose half of the digits (Longley, S2)."""
    table = np.array(LONGLEY, dtype=float)
    columns = [[1.0] * 16, *table[:, 1:].T.tolist()]
    found = fit(columns, table[:, 0].tolist(), signed=True)
    assert found.rates == pytest.approx(
        (
            -3482258.63459582, 15.0618722713733, -0.0358191792925910, -2.02022980381683, -1.03322686717359,
            -0.0511041056535807, 1829.15146461355,
        ),
        rel=1e-9,
    )  # fmt: skip
    assert found.errors == pytest.approx(
        (
            890420.383607373, 84.9149257747669, 0.0334910077722432, 0.488399681651699, 0.214274163161675,
            0.226073200069370, 455.478499142212,
        ),
        rel=1e-9,
    )  # fmt: skip
    assert found.spread == pytest.approx(304.854073561965, rel=1e-9)
    assert explained(found, table[:, 0].tolist(), mean=True) == pytest.approx(0.995479004577296, rel=1e-12)
    # 43275 by D. A. Belsley, E. Kuh and R. E. Welsch, Regression Diagnostics (1980), as widely quoted (from memory).
    assert condition(columns) == pytest.approx(43275, rel=1e-4)
    assert 0 in collinear(columns)
    assert 6 in collinear(columns)


def in_fractions(columns: list[list[Fraction]], amounts: list[Fraction]) -> tuple[list[Fraction], list[Fraction]]:
    """Rates and squares of their standard errors by the normal equations, exact: Gauss-Jordan in fractions."""
    size = len(columns)
    rows = [
        [sum((a * b for a, b in zip(one, other, strict=True)), Fraction(0)) for other in columns]
        + [Fraction(place == row) for place in range(size)]
        + [sum((a * b for a, b in zip(one, amounts, strict=True)), Fraction(0))]
        for row, one in enumerate(columns)
    ]
    for pivot in range(size):
        rows[pivot] = [value / rows[pivot][pivot] for value in rows[pivot]]
        for row in range(size):
            if row != pivot:
                times = rows[row][pivot]
                rows[row] = [value - times * above for value, above in zip(rows[row], rows[pivot], strict=True)]
    rates = [row[-1] for row in rows]
    left = [
        amount - sum((rate * column[place] for rate, column in zip(rates, columns, strict=True)), Fraction(0))
        for place, amount in enumerate(amounts)
    ]
    variance = sum((one**2 for one in left), Fraction(0)) / (len(amounts) - size)
    return rates, [variance * rows[row][size + row] for row in range(size)]


def test_longley_in_fractions() -> None:
    """The rates and their errors are those of exact arithmetic, which no rounding can touch (C)."""
    table = [[Fraction(str(value)) for value in row] for row in LONGLEY]
    columns = [[Fraction(1)] * 16, *([row[place] for row in table] for place in range(1, 7))]
    rates, squares = in_fractions(columns, [row[0] for row in table])
    found = fit(
        [[float(value) for value in column] for column in columns], [float(row[0]) for row in table], signed=True
    )
    assert found.rates == pytest.approx([float(rate) for rate in rates], rel=1e-9)
    assert found.errors == pytest.approx([float(square) ** 0.5 for square in squares], rel=1e-9)


@pytest.mark.parametrize("seed", range(8))
def test_no_rate_is_under_nothing(seed: int) -> None:
    """Where a rate would be under nothing it is held there, and the others are the best that then remain.

    scipy's bounded-variable solver finds the same by another road.
    """
    random = np.random.default_rng(seed)
    columns = random.uniform(1, 9, (4, 12))
    amounts = random.normal([3.0, -2.0, 0.5, -1.0] @ columns, 2.0)
    found = fit(columns.tolist(), amounts.tolist())
    other = lsq_linear(columns.T, amounts, (0, np.inf), method="bvls").x
    assert found.rates == pytest.approx(other, abs=1e-9)
    assert min(found.rates) == 0.0
    assert [error is None for error in found.errors] == [rate == 0.0 for rate in found.rates]


def test_columns_that_cannot_be_told_apart_are_refused() -> None:
    """Two measures that are always in step give no rate each: their columns have rank one (linear algebra, C)."""
    with pytest.raises(ValueError, match="collinear"):
        fit([[1.0, 2.0, 3.0, 4.0], [2.0, 4.0, 6.0, 8.0]], [1.0, 2.0, 3.0, 4.0])
    assert collinear([[1.0, 2.0, 3.0], [2.0, 4.0, 6.0], [1.0, 0.0, 1.0]]) == (0, 1)
