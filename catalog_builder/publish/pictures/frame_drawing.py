"""A frame drawn as SVG, as seen from the front: its colour, the light along its edges, its mitres."""

from __future__ import annotations

from dataclasses import dataclass

from catalog_builder.pattern.framing.frame import Frame
from catalog_builder.publish.pictures.svg_text import digits, path_of_area, path_of_line
from catalog_builder.records.material import Material

# The middle of what is seen of a bar, where the light catches it, and how wide that light is.
_SHINE_SHARE, _SHINE_WIDTH = 0.34, 0.22
_EDGE_MM = 0.25


@dataclass(frozen=True, slots=True)
class Metal:
    """How metal looks in a finish: its body and the light that runs along it."""

    body: str
    shine: str


def frame_lines(frame: Frame | None) -> str:
    """Give the path of a frame's outside, its light and its mitres; empty without a frame."""
    if frame is None:
        return ""
    return "".join(path_of_line(line) for line in (frame.outside.exterior, frame.light.exterior, *frame.mitres))


def frame_marks(frame: Frame, material: Material, metal: Metal) -> str:
    """Draw a frame over the edge of its glass. Channel without a colour of its own looks like the solder."""
    body = material.colour or metal.body
    shine = metal.shine if material.colour is None else "#ffffff"
    seen = float(material.width_mm or 0)
    light = path_of_line(frame.line_at(material.outside_mm - _SHINE_SHARE * seen))
    return (
        f'<path d="{path_of_area(frame.face)}" fill="{body}" fill-rule="evenodd"/>'
        f'<g fill="none" stroke-linejoin="miter"><path d="{light}" stroke="{shine}" '
        f'stroke-width="{digits(_SHINE_WIDTH * seen)}" opacity="0.3"/>'
        f'<path d="{frame_lines(frame)}" stroke="#14171a" stroke-width="{_EDGE_MM}" opacity="0.55"/></g>'
    )
