"""Line work as the text of an SVG, true to scale in mm, with the fold as the program reads it."""

from __future__ import annotations

from collections.abc import Sequence

from catalog_builder.tracing.arrays import Points
from catalog_builder.tracing.curves.smooth_curves import is_straight

_STROKE_MM = 0.3
_STRAIGHT_MM = 0.02


def line_svg(
    lines: Sequence[Sequence[Points]], fold: tuple[Points, Points] | None, size_mm: tuple[float, float]
) -> str:
    """Write lines of curves (4, 2) in mm as a page of a size; each line is a path, whose row is its own."""
    width, height = (f"{side:.3f}".rstrip("0").rstrip(".") for side in size_mm)
    rows = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm"'
        f' viewBox="0 0 {width} {height}">',
        f'  <g fill="none" stroke="#000" stroke-width="{_STROKE_MM}" stroke-linecap="round" stroke-linejoin="round">',
        *(f'    <path d="{_path(line)}"/>' for line in lines),
    ]
    if fold is not None:
        (x1, y1), (x2, y2) = fold
        ends = f'x1="{_number(x1)}" y1="{_number(y1)}" x2="{_number(x2)}" y2="{_number(y2)}"'
        rows.append(f'    <line data-mark="fold" stroke-dasharray="4 2" {ends}/>')
    return "\n".join([*rows, "  </g>", "</svg>", ""])


def _path(line: Sequence[Points]) -> str:
    parts = [f"M{_point(line[0][0])}"]
    for curve in line:
        if is_straight(curve, _STRAIGHT_MM):
            parts.append(f"L{_point(curve[3])}")
        else:
            parts.append("C" + " ".join(_point(point) for point in curve[1:]))
    return " ".join(parts)


def _point(point: Points) -> str:
    return f"{_number(point[0])} {_number(point[1])}"


def _number(value: float) -> str:
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
