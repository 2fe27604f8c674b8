"""The learning curve: work that is repeated takes less time, by the same share each time its count doubles."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from catalog_builder.planning.least_squares import fit


@dataclass(frozen=True, slots=True)
class Curve:
    """Wright's curve: ``first`` is the time of the first item, ``share`` what remains of the mean at each doubling."""

    first: float
    share: float

    def mean(self, count: float) -> float:
        """Give the mean time of the first ``count`` items: first x count^log2(share).

        Source: T. P. Wright's cumulative-average model (1936; as quoted by accounting workbooks, not read). At 80 %
        the means of 1, 2, 4, 8 and 16 items are 100, 80, 64, 51.2 and 40.96.
        """
        return float(self.first * count ** math.log2(self.share))

    def of(self, before: int, count: int) -> float:
        """Give the time of ``count`` items that follow ``before`` others."""
        return (before + count) * self.mean(before + count) - (before * self.mean(before) if before else 0.0)


def curve_through(counts: Sequence[int], times: Sequence[float]) -> Curve:
    """Fit a curve to batches in their order: how many were made in each, and how long it took.

    The logarithm of the mean time so far is a line in the logarithm of the count so far.

    Raises:
        ValueError: there are fewer than two batches, or one of no items.
    """
    totals = [sum(counts[: end + 1]) for end in range(len(counts))]
    means = [sum(times[: end + 1]) / total for end, total in enumerate(totals)]
    line = fit([[1.0] * len(totals), [math.log2(total) for total in totals]], [math.log2(mean) for mean in means], True)
    return Curve(2 ** line.rates[0], 2 ** line.rates[1])
