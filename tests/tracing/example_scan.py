"""Draws the scan that the worked example traces: ``python -m tests.tracing.example_scan FILE.png``.

It is half of the example's rowan leaf, with the pen's lines, the numbers of the pieces and an arrow, on a sheet of A5.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFilter, ImageFont

from catalog_builder.pattern.svg.drawing import read_drawing
from catalog_builder.records.reading.source import Source
from catalog_builder.tracing.curves.pen_middle import resampled
from tests.publish.demo import ROOT

EXAMPLE = ROOT / "catalog_builder" / "commands" / "begin" / "example" / "content" / "products" / "rowan-leaf"
DPI = 200
_PER_MM, _FINE = DPI / 25.4, 3
_PEN_MM, _INK, _PAPER = 1.2, 45, 243
# Where the drawing's corner lies on the sheet.
_CORNER = np.array([30.0, 45.0])


def drawing_text() -> str:
    """Give the SVG that stands in the example's record."""
    record = (EXAMPLE / "product.md").read_text(encoding="utf-8")
    block = re.search(r"```svg\n(.*?)```", record, flags=re.DOTALL)
    assert block is not None
    return block[1]


def example_scan() -> Image.Image:
    """Draw the sheet as a scanner sees it."""
    scale = _PER_MM * _FINE
    large = Image.new("L", (round(148 * scale), round(210 * scale)), _PAPER)
    pen = ImageDraw.Draw(large)
    for mark in read_drawing(Source("rowan-leaf.svg", drawing_text())).marks:
        for run in mark.runs if mark.kind == "line" else ():
            points = (resampled(run.flat(0.01), 0.1) + _CORNER) * scale
            half = _PEN_MM * scale / 2
            for x, y in points.tolist():
                pen.ellipse((x - half, y - half, x + half, y + half), fill=_INK)
        if mark.kind == "label" and mark.at is not None and mark.number:
            letters = ImageFont.load_default(size=5 * scale)
            pen.text(tuple((np.array(mark.at) + _CORNER) * scale), mark.number, fill=110, font=letters, anchor="mm")
    return large.filter(ImageFilter.GaussianBlur(0.5 * _FINE)).reduce(_FINE).quantize(16).convert("L")


if __name__ == "__main__":
    example_scan().save(Path(sys.argv[1]), optimize=True, dpi=(DPI, DPI))
