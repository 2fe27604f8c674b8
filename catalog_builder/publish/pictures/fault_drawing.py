"""A drawing with the spots ringed where it is wrong."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

import numpy as np

from catalog_builder.mistake import Mistake
from catalog_builder.pattern.svg.drawing import Drawing

_WIDTH_PX = 900


def fault_svg(drawing: Drawing, mistakes: Sequence[Mistake], title: str) -> str:
    """Draw every line of a drawing and ring the spots of the mistakes, numbered as they are listed below it."""
    spots = [(mistake.spot, mistake.wrong) for mistake in mistakes if mistake.spot is not None]
    runs = [run.flat(0.05) for mark in drawing.marks if mark.kind != "label" for run in mark.runs]
    points = np.concatenate([*runs, np.array([spot for spot, _ in spots])])
    left, top = points.min(axis=0).tolist()
    right, bottom = points.max(axis=0).tolist()
    unit = max(right - left, bottom - top, 1e-6) / 100
    lines = "".join("<path d='M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in run.tolist()) + "'/>" for run in runs)
    rings = "".join(f"<circle cx='{x:.2f}' cy='{y:.2f}' r='{3 * unit:.2f}'/>" for (x, y), _ in spots)
    numbers = "".join(
        f"<text x='{x + 3.4 * unit:.2f}' y='{y - 2.4 * unit:.2f}' font-size='{4 * unit:.2f}'>{number}</text>"
        for number, ((x, y), _) in enumerate(spots, 1)
    )
    words = "".join(
        f"<text x='{left:.2f}' y='{bottom + (6 + 4 * number) * unit:.2f}' font-size='{2.4 * unit:.2f}'>"
        f"{number}: {escape(wrong)}</text>"
        for number, (_, wrong) in enumerate(spots, 1)
    )
    margin = 6 * unit
    width, height = right - left + 2 * margin, bottom - top + 2 * margin + (4 * len(spots) + 4) * unit
    return (
        f"<svg xmlns='http://www.w3.org/2000/svg' width='{_WIDTH_PX}' height='{_WIDTH_PX * height / width:.0f}' "
        f"viewBox='{left - margin:.2f} {top - margin:.2f} {width:.2f} {height:.2f}'><title>{escape(title)}</title>"
        f"<rect x='{left - margin:.2f}' y='{top - margin:.2f}' width='{width:.2f}' height='{height:.2f}' fill='white'/>"
        f"<g fill='none' stroke='#333' stroke-width='{0.4 * unit:.3f}'>{lines}</g>"
        f"<g fill='none' stroke='#c0241c' stroke-width='{0.7 * unit:.3f}'>{rings}</g>"
        f"<g fill='#c0241c' font-family='sans-serif'>{numbers}{words}</g></svg>\n"
    )
