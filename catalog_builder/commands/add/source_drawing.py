"""The drawing that a new product is made from: its text, its pieces, and how large it is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from catalog_builder.mistake import Mistake, MistakeError, Place, quoted
from catalog_builder.pattern.pieces import Fitting, Pattern, find_pieces
from catalog_builder.pattern.sizes import scale_to_width
from catalog_builder.pattern.svg.drawing import Drawing, read_drawing
from catalog_builder.records.reading.file import is_there
from catalog_builder.records.reading.source import Source, read
from catalog_builder.records.reading.values import MOST_MM
from catalog_builder.records.studio import Making
from catalog_builder.units import length_mm


@dataclass(frozen=True, slots=True)
class SourceDrawing:
    """A drawing with its pieces; a piece without a glass word of the drawing's own has an empty one.

    ``width_mm`` is the finished width of the glass, and ``width_by`` says in words where it comes from. Where there are
    ``mistakes``, the pieces are those that can be told.
    """

    drawing: Drawing
    pattern: Pattern
    width_mm: float
    width_by: str
    mistakes: tuple[Mistake, ...]

    @property
    def text(self) -> str:
        """The drawing's text."""
        return self.drawing.source.text


def read_width(text: str) -> float:
    """Read the width that the glass is to have in mm.

    Raises:
        MistakeError: it is not a length.
    """
    try:
        width = length_mm(text)
    except ValueError:
        width = 0.0
    if 0 < width <= MOST_MM:
        return width
    raise MistakeError.at(
        Place(path="--width"),
        wrong=f"{quoted(text)} is not a width",
        expected="a number with a unit (mm, cm, m, in, ft), such as 140mm, up to 10 m",
        mend="add the unit you meant, with a decimal point",
    )


def svg_source(path: Path, shown: str) -> Source:
    """Read an SVG file from anywhere on the disk; ``shown`` is what messages call it.

    Raises:
        MistakeError: it cannot be read, is too large, or is not UTF-8.
    """
    real = path.resolve()
    if not is_there(real):
        raise MistakeError.at(
            Place(path=shown),
            wrong="there is no such file",
            expected="the path of a drawing",
            mend="see where the file is; in the terminal you can drag it onto the window in place of typing its path",
        )
    try:
        return replace(read(real.parent, real), path=shown)
    except MistakeError as fault:
        raise MistakeError(replace(each, place=replace(each.place, path=shown)) for each in fault.mistakes) from None


def measure_drawing(source: Source, width_mm: float | None, making: Making) -> SourceDrawing:
    """Find the pieces of a drawing; ``width_mm`` is the width of the glass that the maker asks for.

    Raises:
        MistakeError: it cannot be read, encloses nothing, or has no size while none is asked for.
    """
    drawing = read_drawing(source)
    if not drawing.physical and width_mm is None:
        raise MistakeError.at(
            source.place(),
            wrong="the drawing does not say how large it is",
            expected="a width and height in mm, cm, in ... on the page, or the width of the glass",
            mend="add --width with the width that the glass is to have, such as --width 120mm",
        )
    bare = replace(drawing, glass=drawing.glass or "")
    pattern, mistakes = find_pieces(bare, scale_to_width(drawing, width_mm), Fitting.of(making), None)
    width_by = "as you ask" if width_mm is not None else "as the drawing says"
    width = width_mm or (round(pattern.width_mm, 2) if pattern.pieces else 0.0)
    return SourceDrawing(drawing, pattern, width, width_by, mistakes)
