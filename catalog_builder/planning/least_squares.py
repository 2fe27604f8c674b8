"""Least squares: which rates would have given the amounts that were measured, and their standard errors."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Matrix = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Fit:
    """Rates in the order of their columns, each with its standard error: None where the data give none.

    ``spread`` is the standard deviation of what is left over, in the unit of the amounts.
    """

    rates: tuple[float, ...]
    errors: tuple[float | None, ...]
    spread: float | None


def fit(columns: Sequence[Sequence[float]], amounts: Sequence[float], signed: bool = False) -> Fit:
    """Fit amounts as a sum of rates x columns; no rate is below 0, unless ``signed``.

    The rates above 0 are solved again by the QR factors of their columns, scaled to equal length: the normal
    equations would lose half of the digits. A rate that is held at 0 has no standard error.

    Source: linear least squares, as in any textbook; non-negative by C. L. Lawson and R. J. Hanson, Solving Least
    Squares Problems (1974), chapter 23 (as scipy names it; the book was not read).

    Raises:
        ValueError: there are fewer amounts than columns, or some columns are collinear.
    """
    matrix, lengths = _scaled(columns)
    target = np.array(amounts, dtype=float)
    active = np.arange(matrix.shape[1])
    if len(target) < matrix.shape[1] or condition(columns) > 1e12:
        raise ValueError("the columns are collinear")
    # Where the best rates of all are above 0, they are also the best of those that are not below it.
    if not signed and not (np.linalg.lstsq(matrix, target)[0] > 0).all():
        # Loading it takes longer than most of what a build does after a small change.
        from scipy.optimize import nnls

        active = np.flatnonzero(nnls(matrix, target)[0] > 0)
    q, r = np.linalg.qr(matrix[:, active])
    solved = np.linalg.solve(r, q.T @ target)
    left = target - matrix[:, active] @ solved
    free = len(target) - len(active)
    variance = float(left @ left) / free if free else None
    rates = np.zeros(matrix.shape[1])
    rates[active] = solved / lengths[active]
    errors: list[float | None] = [None] * matrix.shape[1]
    if variance is not None:
        inverse = np.linalg.solve(r, np.eye(len(active)))
        for place, each in zip(active, np.sqrt(variance * (inverse**2).sum(axis=1)) / lengths[active], strict=True):
            errors[place] = float(each)
    return Fit(tuple(rates.tolist()), tuple(errors), None if variance is None else float(np.sqrt(variance)))


def condition(columns: Sequence[Sequence[float]]) -> float:
    """Give the condition number of columns scaled to equal length: the larger, the closer they are to collinear."""
    singular = np.linalg.svd(_scaled(columns)[0], compute_uv=False)
    return float(singular[0] / singular[-1]) if singular[-1] > 0 else float("inf")


def collinear(columns: Sequence[Sequence[float]]) -> tuple[int, ...]:
    """Give the columns that can replace each other: those with a part in the direction of the least singular value."""
    least = np.abs(np.linalg.svd(_scaled(columns)[0], full_matrices=False)[2][-1])
    return tuple(int(place) for place in np.flatnonzero(least >= 0.3))


def _scaled(columns: Sequence[Sequence[float]]) -> tuple[Matrix, Matrix]:
    """Give columns as a matrix, each divided by its length, and the lengths; a column of zeros stays as it is."""
    matrix = np.array(columns, dtype=float).T
    lengths = np.sqrt((matrix**2).sum(axis=0))
    lengths[lengths == 0] = 1.0
    return matrix / lengths, lengths
