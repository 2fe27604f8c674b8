"""The scale of a traced drawing: what gave it, in words, and how sure it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from catalog_builder.tracing.sheet.flat_sheet import FlatSheet
from catalog_builder.tracing.sheet.sheet_picture import SheetPicture
from catalog_builder.tracing.trace_options import TraceOptions

ScaleKind: TypeAlias = Literal["paper", "dpi", "width"]
# Half a pen's line, about which two people who measure a width by hand differ.
_BY_HAND_MM = 0.5


@dataclass(frozen=True, slots=True)
class TraceScale:
    """What gave the scale, in words, how sure it is over the drawing's width, and mm for each mm of the flat sheet."""

    by: ScaleKind
    text: str
    sure_mm: float
    times: float


def scale_of(sheet: FlatSheet, options: TraceOptions, picture: SheetPicture, wide_mm: float) -> TraceScale:
    """Give the scale of a drawing that is ``wide_mm`` wide on the flat sheet."""
    if options.width_mm is not None:
        text = f"what is drawn is {options.width_mm:g} mm wide, as you say"
        if options.paper_mm is not None:
            text += f" (by the sheet it would be {wide_mm:.1f} mm)"
        return TraceScale("width", text, _BY_HAND_MM, options.width_mm / wide_mm)
    sure = max(0.1, sheet.sure * wide_mm)
    if sheet.source in ("dpi", "file"):
        dpi = options.dpi or picture.dpi or 0.0
        given = "as you say" if sheet.source == "dpi" else "as the file says"
        return TraceScale("dpi", f"the scan has {dpi:.0f} dots per inch, {given}", sure, 1.0)
    width, height = options.paper_mm or (0.0, 0.0)
    size = f"{width:g} x {height:g} mm"
    name = options.paper_name if "x" not in options.paper_name.lower() else ""
    sheet_words = (
        f"the sheet is {name.upper() if len(name) == 2 else name} ({size})" if name else f"the sheet is {size}"
    )
    seen = "it fills the whole scan" if sheet.source == "scanned paper" else "its four corners were found"
    return TraceScale("paper", f"{sheet_words}; {seen}", sure, 1.0)
