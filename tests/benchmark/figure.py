"""A figure: something measured, and the floor that it is held against, both from the same run."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Figure:
    """A quantity and its floor in one unit; ``wanted`` is the most that their ratio should be, if anything is."""

    name: str
    value: float
    floor: str
    floor_value: float
    unit: str
    wanted: float | None

    @property
    def ratio(self) -> float:
        """How many times the floor it takes."""
        return self.value / self.floor_value


def seconds(call: Callable[[], Any]) -> float:
    """Give the wall time of a call."""
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


def in_turn(rounds: int, *measures: Callable[[], float]) -> list[float]:
    """Take each measure so many times, one after the other, so that a slow moment meets all; give their medians."""
    taken = [[measure() for measure in measures] for _ in range(rounds)]
    return [statistics.median(column) for column in zip(*taken, strict=True)]
