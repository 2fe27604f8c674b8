"""Bands of prices and sizes that a buyer can choose from: few, at round numbers, each with something in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from itertools import pairwise

MOST = 4
_STEPS = (Decimal(1), Decimal(2), Decimal("2.5"), Decimal(5), Decimal(10))


@dataclass(frozen=True, slots=True)
class PriceBand:
    """From a number to a number, both belonging to it; ``None`` leaves a side open."""

    low: Decimal | None
    high: Decimal | None

    @property
    def name(self) -> str:
        """How addresses call it: ``30-50``, ``-30`` or ``50-``."""
        return f"{_plain(self.low)}-{_plain(self.high)}"

    def holds(self, value: Decimal) -> bool:
        """True for a number in the band; one on the border of two bands is in both, as a reader expects."""
        return (self.low is None or value >= self.low) and (self.high is None or value <= self.high)


def bands(values: Sequence[Decimal]) -> tuple[PriceBand, ...]:
    """Part numbers into up to ``MOST`` bands with about as many in each; none where there is nothing to part."""
    ordered = sorted(values)
    if not ordered or ordered[0] == ordered[-1]:
        return ()
    step = _step((ordered[-1] - ordered[0]) / (2 * MOST))
    quarters = [ordered[len(ordered) * part // MOST] for part in range(1, MOST)]
    # Where nearly all are alike, the middle of the range parts those that are not.
    borders = _between(ordered, quarters, step) or _between(ordered, [(ordered[0] + ordered[-1]) / 2], step)
    edges = [None, *borders, None]
    parts = [PriceBand(low, high) for low, high in pairwise(edges)]
    return tuple(part for part in parts if any(part.holds(value) for value in ordered))


def _between(ordered: Sequence[Decimal], borders: Sequence[Decimal], step: Decimal) -> list[Decimal]:
    """Give borders rounded to a step, those that have numbers on both sides."""
    rounded_borders = {(border / step).to_integral_value(rounding=ROUND_HALF_UP) * step for border in borders}
    return [border for border in sorted(rounded_borders) if ordered[0] < border < ordered[-1]]


def _step(least: Decimal) -> Decimal:
    """Give the smallest round number that is not under ``least``."""
    scale = Decimal(1).scaleb(least.adjusted())
    return next(step * scale for step in _STEPS if step * scale >= least)


def _plain(border: Decimal | None) -> str:
    return "" if border is None else f"{border.normalize():f}"
