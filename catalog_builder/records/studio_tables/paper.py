"""The papers that a studio prints on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

Paper = Literal["A4", "Letter"]

# ISO 216 (A4) and ANSI/ASME Y14.1 (Letter, 8.5 by 11 in), both from memory: width and height in mm, upright.
PAPERS_MM: Mapping[Paper, tuple[float, float]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
