"""A flaw of a drawing: what keeps its lines from being pieces of glass."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Flaw:
    """What is wrong with the drawing at a point (in mm), with the line of the file if one is to blame."""

    wrong: str
    mend: str
    at: tuple[float, float]
    line: int | None = None
    expected: str = "pieces that lie side by side, each closed all round"
