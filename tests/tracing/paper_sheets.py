"""Small invented sheets for the tests of single modules: each pixel is as dark as the pen covers it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

PX_PER_MM = 10.0
PAPER, INK = 240, 30

Line = Sequence[tuple[float, float]]


def sheet(
    lines: Sequence[Line], size_mm: tuple[float, float] = (100.0, 120.0), pen_mm: float = 1.2
) -> NDArray[np.uint8]:
    """Draw lines in mm with a round pen on a grey sheet of ten pixels for each mm."""
    width, height = round(size_mm[0] * PX_PER_MM), round(size_mm[1] * PX_PER_MM)
    nearest = np.full((height, width), np.inf)
    reach = pen_mm + 0.5
    for line in lines:
        for (x1, y1), (x2, y2) in pairwise(line):
            left, right = (int(at * PX_PER_MM) for at in (max(0, min(x1, x2) - reach), max(x1, x2) + reach))
            top, bottom = (int(at * PX_PER_MM) for at in (max(0, min(y1, y2) - reach), max(y1, y2) + reach))
            y, x = np.mgrid[top : min(bottom, height), left : min(right, width)] / PX_PER_MM + 0.5 / PX_PER_MM
            far = max((x2 - x1) ** 2 + (y2 - y1) ** 2, 1e-12)
            share = np.clip(((x - x1) * (x2 - x1) + (y - y1) * (y2 - y1)) / far, 0, 1)
            away = np.hypot(x - x1 - share * (x2 - x1), y - y1 - share * (y2 - y1))
            part = nearest[top : top + away.shape[0], left : left + away.shape[1]]
            np.minimum(part, away, out=part)
    inked = np.clip((pen_mm / 2 - nearest) * PX_PER_MM + 0.5, 0, 1)
    return np.asarray(np.round(PAPER + inked * (INK - PAPER)), dtype=np.uint8)


def ring(middle: tuple[float, float], radius: float) -> Line:
    """Give a closed circle in mm."""
    turn = np.linspace(0, 2 * np.pi, 181)
    return [(middle[0] + radius * float(np.cos(a)), middle[1] + radius * float(np.sin(a))) for a in turn]


def rectangle(left: float, top: float, right: float, bottom: float) -> Line:
    """Give a closed rectangle in mm."""
    return [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)]


def save_scan(
    path: Path, lines: Sequence[Line], size_mm: tuple[float, float] = (100.0, 120.0), pen_mm: float = 1.2
) -> Path:
    """Keep a sheet as the PNG of a scan of 254 dots per inch, which is ten pixels for each mm, and give its path."""
    Image.fromarray(sheet(lines, size_mm, pen_mm)).save(path, dpi=(254, 254))
    return path
