"""Least squares: which rates would have given the amounts that were measured, and how surely."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Matrix = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Fit:
    """Rates in the order of their columns, each with its standard error: None where the data give none.

    ``spread`` is the standard deviation of what is left over, in the unit of the amounts; ``r2`` the share that is
    explained, about the mean where one column is the same throughout, else about nothing.
    """

    rates: tuple[float, ...]
    errors: tuple[float | None, ...]
    spread: float | None
    r2: float


def fit(columns: Sequence[Sequence[float]], amounts: Sequence[float], signed: bool = False) -> Fit:
    """Fit amounts as a sum of rates x columns; no rate is under nothing, unless ``signed``.

    The rates that are above nothing are found once more by the QR factors of their columns, scaled to equal length:
    the normal equations would lose half of the digits. A rate that is held at nothing has no standard error.

    Source: linear least squares, as in any textbook; non-negative by C. L. Lawson and R. J. Hanson, Solving Least
    Squares Problems (1974), chapter 23 (as scipy names it; the book was not read).

    Raises:
        ValueError: there are fewer amounts than columns, or some columns cannot be told apart at all.
    """
    matrix, lengths = _scaled(columns)
    target = np.array(amounts, dtype=float)
    active = np.arange(matrix.shape[1])
    if not signed:
        from scipy.optimize import nnls

        active = np.flatnonzero(nnls(matrix, target)[0] > 0)
    if len(target) < matrix.shape[1] or condition(columns) > 1e12:
        raise ValueError("the columns cannot be told apart")
    q, r = np.linalg.qr(matrix[:, active])
    found = np.linalg.solve(r, q.T @ target)
    left = target - matrix[:, active] @ found
    free = len(target) - len(active)
    variance = float(left @ left) / free if free else None
    rates, errors = np.zeros(matrix.shape[1]), [None] * matrix.shape[1]
    rates[active] = found / lengths[active]
    told: list[float | None] = list(errors)
    if variance is not None:
        inverse = np.linalg.solve(r, np.eye(len(active)))
        for place, each in zip(active, np.sqrt(variance * (inverse**2).sum(axis=1)) / lengths[active], strict=True):
            told[place] = float(each)
    constant = bool((np.ptp(matrix, axis=0) == 0).any())
    about = target - target.mean() if constant else target
    whole = float(about @ about)
    return Fit(
        tuple(rates.tolist()),
        tuple(told),
        None if variance is None else float(np.sqrt(variance)),
        1 - float(left @ left) / whole if whole else 1.0,
    )


def condition(columns: Sequence[Sequence[float]]) -> float:
    """Give the condition number of columns scaled to equal length: the larger, the less they can be told apart."""
    singular = np.linalg.svd(_scaled(columns)[0], compute_uv=False)
    return float(singular[0] / singular[-1]) if singular[-1] > 0 else float("inf")


def tangled(columns: Sequence[Sequence[float]]) -> tuple[int, ...]:
    """Give the columns that stand in for each other: those with a part in the direction that the data tell least of."""
    least = np.abs(np.linalg.svd(_scaled(columns)[0], full_matrices=False)[2][-1])
    return tuple(int(place) for place in np.flatnonzero(least >= 0.3))


def _scaled(columns: Sequence[Sequence[float]]) -> tuple[Matrix, Matrix]:
    """Give columns as a matrix, each divided by its length, and the lengths; a column of nothing stays as it is."""
    matrix = np.array(columns, dtype=float).T
    lengths = np.sqrt((matrix**2).sum(axis=0))
    lengths[lengths == 0] = 1.0
    return matrix / lengths, lengths
