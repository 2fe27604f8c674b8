"""What the maker says about a picture of a drawing: the sheet, the dots per inch, the width, the half."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Literal, TypeAlias

from catalog_builder.mistake import Mistakes, Place, listed, nearest, quoted
from catalog_builder.units import length_mm

Half: TypeAlias = Literal["left", "right", "top", "bottom"]
HALVES: tuple[Half, ...] = ("left", "right", "top", "bottom")
# ISO 216 (A3 to A5) and ANSI/ASME Y14.1 (8.5 by 11 in); legal paper is 8.5 by 14 in. All from memory.
PAPERS_MM = {
    "a3": (297.0, 420.0),
    "a4": (210.0, 297.0),
    "a5": (148.0, 210.0),
    "letter": (215.9, 279.4),
    "legal": (215.9, 355.6),
}
SMALLEST_MM, LARGEST_MM = 40.0, 2000.0
SMALLEST_DPI, LARGEST_DPI = 50.0, 2400.0
_SIZE = re.compile(r"\s*(\d+(?:\.\d+)?)\s*[x×]\s*(\d+(?:\.\d+)?)\s*(?:mm)?\s*")


@dataclass(frozen=True, slots=True, kw_only=True)
class TraceOptions:
    """What is known of a picture; ``paper_mm`` is width and height of the upright sheet."""

    paper_mm: tuple[float, float] | None = None
    paper_name: str = ""
    dpi: float | None = None
    width_mm: float | None = None
    half: Half | None = None


def read_trace_options(
    *, paper: str | None = None, dpi: str | float | None = None, width: str | None = None, half: str | None = None
) -> TraceOptions:
    """Read the options of a command as they are typed.

    Raises:
        MistakeError: with every option that cannot be read.
    """
    mistakes = Mistakes()
    options = TraceOptions(
        paper_mm=_paper(paper, mistakes),
        paper_name=(paper or "").strip(),
        dpi=_dpi(dpi, mistakes),
        width_mm=_width(width, mistakes),
        half=_half(half, mistakes),
    )
    mistakes.raise_if_any()
    return options


def _paper(text: str | None, mistakes: Mistakes) -> tuple[float, float] | None:
    if text is None:
        return None
    name = text.strip().lower()
    size = PAPERS_MM.get(name)
    match = _SIZE.fullmatch(name[:60])
    if size is None and match is not None:
        sides = sorted((float(match[1]), float(match[2])))
        size = sides[0], sides[1]
    if size is not None and size[0] >= SMALLEST_MM and size[1] <= LARGEST_MM:
        return size
    guess = nearest(name, PAPERS_MM)
    mistakes.add(
        Place(path="--paper"),
        wrong=f"{quoted(text)} is no size of a sheet",
        expected=f"one of {listed(PAPERS_MM)}, or width and height in mm such as 210x297",
        mend=f"did you mean {guess}?" if guess and size is None else "measure the sheet, and give its two sides",
    )
    return None


def _dpi(value: str | float | None, mistakes: Mistakes) -> float | None:
    if value is None:
        return None
    try:
        dpi = float(value)
    except ValueError:
        dpi = math.nan
    if SMALLEST_DPI <= dpi <= LARGEST_DPI:
        return dpi
    mistakes.add(
        Place(path="--dpi"),
        wrong=f"{quoted(str(value))} is no resolution of a scan",
        expected=f"dots per inch, {SMALLEST_DPI:g} to {LARGEST_DPI:g}",
        mend="give the number that the scanner was set to, such as 300",
    )
    return None


def _width(text: str | None, mistakes: Mistakes) -> float | None:
    if text is None:
        return None
    try:
        width = length_mm(text[:60])
    except ValueError:
        width = math.nan
    if SMALLEST_MM / 4 <= width <= LARGEST_MM:
        return width
    mistakes.add(
        Place(path="--width"),
        wrong=f"{quoted(text)} is no width of a drawing",
        expected="a number with a unit (mm, cm, m, in, ft), such as 140mm (10 mm to 2 m)",
        mend="measure what is drawn from its leftmost to its rightmost line",
    )
    return None


def _half(text: str | None, mistakes: Mistakes) -> Half | None:
    if text is None:
        return None
    for half in HALVES:
        if half == text.strip().lower():
            return half
    guess = nearest(text, HALVES)
    mistakes.add(
        Place(path="--half"),
        wrong=f"{quoted(text)} is no half of a drawing",
        expected=f"the half that is drawn: one of {listed(HALVES)}",
        mend=f"did you mean {guess}?" if guess else "say on which side of the fold the drawing lies in the photo",
    )
    return None
