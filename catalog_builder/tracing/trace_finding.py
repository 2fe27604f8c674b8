"""What tracing closed, left out or is unsure of, each with its place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

FindingKind: TypeAlias = Literal[
    "gap closed",
    "gap open",
    "double line",
    "island",
    "open end",
    "left out",
    "sheet",
    "fold",
    "scale",
    "line",
    "field",
    "blot",
    "cut off",
    "apart",
]


@dataclass(frozen=True, slots=True)
class TraceFinding:
    """One thing to look at; ``at`` is its place in mm. ``doubt`` says that a piece may be wrong for it."""

    kind: FindingKind
    at: tuple[float, float] | None
    text: str
    doubt: bool
