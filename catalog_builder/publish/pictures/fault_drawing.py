"""A drawing with its pieces numbered, and the spots ringed where it is wrong."""

from __future__ import annotations

import math
import string
from collections.abc import Sequence
from html import escape
from textwrap import wrap

import numpy as np

from catalog_builder.mistake import Mistake
from catalog_builder.pattern.pieces import Pattern
from catalog_builder.pattern.svg.drawing import Drawing
from catalog_builder.publish.pictures.label_place import label_place

_WIDTH_PX = 900
# Spots have letters, as pieces have numbers.
SPOT_LETTERS = string.ascii_uppercase
# Of a letter of the text below a drawing, in hundredths of the drawing: its height, and its average width or less.
_TEXT_HIGH, _TEXT_WIDE = 2.4, 1.35
_LEAST_WIDE = 90


def fault_svg(drawing: Drawing, mistakes: Sequence[Mistake], title: str, pattern: Pattern) -> str:
    """Draw every line of a drawing and ring the spots of the mistakes, lettered as they are listed below it.

    ``pattern`` has the pieces as far as they can be told: each has the number that messages call it by. There are as
    many spots as ``SPOT_LETTERS`` at most.
    """
    spots = [
        (letter, *each.spot, each.wrong) for letter, each in zip(SPOT_LETTERS, mistakes, strict=False) if each.spot
    ]
    runs = [run.flat(0.05) for mark in drawing.marks if mark.kind != "label" for run in mark.runs]
    points = np.concatenate([*runs, np.array([(x, y) for _, x, y, _ in spots])])
    left, top = points.min(axis=0).tolist()
    right, bottom = points.max(axis=0).tolist()
    unit = max(right - left, bottom - top, 1e-6) / 100
    margin = 6 * unit
    # A narrow drawing has room beside it, so that the text below is wide enough to read.
    width = max(right - left + 2 * margin, _LEAST_WIDE * unit)
    lines = "".join("<path d='M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in run.tolist()) + "'/>" for run in runs)
    rings = "".join(f"<circle cx='{x:.2f}' cy='{y:.2f}' r='{3 * unit:.2f}'/>" for _, x, y, _ in spots)
    letters = "".join(_text(x + 3.4 * unit, y - 2.4 * unit, 4 * unit, letter) for letter, x, y, _ in spots)
    rows = [
        row
        for letter, _, _, wrong in spots
        for row in wrap(f"{letter}: {wrong}", int((width - margin) / unit / _TEXT_WIDE))
    ]
    words = "".join(
        _text(left, bottom + (8 + 3.4 * number) * unit, _TEXT_HIGH * unit, row) for number, row in enumerate(rows)
    )
    height = bottom - top + 2 * margin + (3.4 * len(rows) + 4) * unit
    return (
        f"<svg xmlns='http://www.w3.org/2000/svg' width='{_WIDTH_PX}' height='{_WIDTH_PX * height / width:.0f}' "
        f"viewBox='{left - margin:.2f} {top - margin:.2f} {width:.2f} {height:.2f}'><title>{escape(title)}</title>"
        f"<rect x='{left - margin:.2f}' y='{top - margin:.2f}' width='{width:.2f}' height='{height:.2f}' fill='white'/>"
        f"<g fill='none' stroke='#333' stroke-width='{0.4 * unit:.3f}'>{lines}</g>"
        f"<g fill='#1d4f91' font-family='sans-serif' text-anchor='middle'>"
        f"{_numbers(pattern, unit)}</g>"
        f"<g fill='none' stroke='#c0241c' stroke-width='{0.7 * unit:.3f}'>{rings}</g>"
        f"<g fill='#c0241c' font-family='sans-serif'>{letters}{words}</g></svg>\n"
    )


def _numbers(pattern: Pattern, unit: float) -> str:
    """Write the number of every piece on the side of the fold that is drawn, as large as the piece lets it be."""
    texts = []
    for piece in pattern.pieces:
        if not piece.mirrored:
            x, y = label_place(pattern, piece)
            size = min(4 * unit, max(1.5 * unit, math.sqrt(piece.face.area) / pattern.scale / 3))
            texts.append(_text(x, y + 0.35 * size, size, piece.number))
    return "".join(texts)


def _text(x: float, y: float, size: float, text: str) -> str:
    return f"<text x='{x:.2f}' y='{y:.2f}' font-size='{size:.2f}'>{escape(text)}</text>"
