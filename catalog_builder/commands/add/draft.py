"""The record of a new product as text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from catalog_builder.commands.add.nearest_glass import GlassPick
from catalog_builder.commands.record_text import listing, marks_lines, number, scalar
from catalog_builder.piece.hanging.record_lines import RingKeys
from catalog_builder.records.drawing.marks import Marks, WireMark
from catalog_builder.records.hardware_kind import HardwareKind

# The name of the only choice of glass.
CHOICE = "as-drawn"


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """What a new record says. ``width_mm`` is the finished width of the glass, ``drawing`` the name of its file.

    ``hang_by`` is the kind of hardware, None for a ring.
    """

    title: str
    summary: str
    series: str
    added: date
    width_mm: float
    finishes: Sequence[str]
    picks: Sequence[GlassPick]
    marks: Marks
    drawing: str
    hang_by: HardwareKind | None = None

    def with_rings(self, keys: RingKeys) -> Draft:
        """Give the same with rings, and the wires that carry them."""
        wires = tuple(WireMark.model_construct(points=points, material=None) for points in keys.wires)
        marks = self.marks.model_copy(update={"rings": keys.rings, "wires": wires})
        return replace(self, marks=marks, hang_by=keys.by)

    def text(self) -> str:
        """Give the whole of ``product.md``."""
        return "\n".join(self._lines()) + "\n"

    def _lines(self) -> Iterator[str]:
        yield "---"
        yield f"title: {scalar(self.title)}"
        yield f"summary: {scalar(self.summary)}"
        yield f"series: {scalar(self.series)}"
        yield f"added: {self.added}"
        yield f"width: {number(self.width_mm)} mm"
        yield f"finishes: {listing(map(scalar, self.finishes))}"
        yield "glass:"
        yield f"  {CHOICE}:"
        yield "    pieces:"
        for pick in self.picks:
            beside = f"  # nearest to the fill {pick.group.colour}" if pick.group.colour else ""
            yield f"      {scalar(pick.group.word)}: {scalar(pick.glass.material)}{beside}"
        yield "grain: along"
        if self.hang_by is not None:
            yield "hang:"
            yield f"  by: {self.hang_by}"
        yield f"pattern: {scalar(self.drawing)}"
        yield from marks_lines(self.marks)
        yield "---"
