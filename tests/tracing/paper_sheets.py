"""Small invented sheets for the tests of single modules: lines of a known place, drawn fine and made coarse."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

PX_PER_MM = 10.0
PAPER, INK = 240, 30
_FINE = 4

Line = Sequence[tuple[float, float]]


def sheet(
    lines: Sequence[Line], size_mm: tuple[float, float] = (100.0, 120.0), pen_mm: float = 1.2
) -> NDArray[np.uint8]:
    """Draw lines in mm with a round pen on a grey sheet of ten pixels for each mm."""
    scale = PX_PER_MM * _FINE
    picture = Image.new("L", (round(size_mm[0] * scale), round(size_mm[1] * scale)), PAPER)
    pen = ImageDraw.Draw(picture)
    for line in lines:
        points = [(x * scale, y * scale) for x, y in line]
        pen.line(points, fill=INK, width=round(pen_mm * scale), joint="curve")
        for x, y in points:
            half = pen_mm * scale / 2
            pen.ellipse((x - half, y - half, x + half, y + half), fill=INK)
    return np.asarray(picture.reduce(_FINE))


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
