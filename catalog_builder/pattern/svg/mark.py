"""A mark of a drawing, and what a maker may write about one in ``data-`` attributes."""

from __future__ import annotations

from dataclasses import dataclass

from catalog_builder.pattern.svg.curve import Subpath
from catalog_builder.pattern.svg.group import Group

KINDS = {"outline", "line", "fold", "ring", "wire", "open", "grain", "label", "join", "none"}
ATTRIBUTES = {"mark", "glass", "grain", "number", "material", "part"}


@dataclass(frozen=True, slots=True)
class Mark:
    """One mark of the drawing, in mm where the drawing has a physical size, else in its own units.

    ``runs`` holds one run, or all closed runs of a compound outline; a label's run is its one point.
    ``grain`` is in degrees anticlockwise from horizontal as seen. ``line`` is where it stands. ``part`` is
    the part that a join is for. ``fill`` is the colour that fills it, as it is written, and ``groups`` are the named
    groups that it lies in, the outermost first.
    """

    kind: str
    runs: tuple[Subpath, ...]
    line: int
    even_odd: bool = False
    glass: str | None = None
    grain: float | None = None
    number: str | None = None
    material: str | None = None
    at: tuple[float, float] | None = None
    part: str | None = None
    fill: str | None = None
    groups: tuple[Group, ...] = ()
