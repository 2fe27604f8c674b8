"""The drawing that a new product is made from: an SVG, or a photo that is traced; its pieces, and how large it is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

from shapely import Point

from catalog_builder.mistake import Mistake, MistakeError, Place
from catalog_builder.pattern.pieces import Fitting, Pattern, find_pieces
from catalog_builder.pattern.sizes import scale_to_width
from catalog_builder.pattern.svg.drawing import Drawing, read_drawing
from catalog_builder.records.reading.file import is_there
from catalog_builder.records.reading.source import Source, read
from catalog_builder.records.studio import Making

if TYPE_CHECKING:
    from catalog_builder.tracing.trace_options import TraceOptions
    from catalog_builder.tracing.traced_drawing import TracedDrawing

_SVG_BEGINS = (b"<svg", b"<?xml", b"<!")


@dataclass(frozen=True, slots=True)
class SourceFile:
    """A drawing's text; ``source`` is called by what the maker typed. ``traced`` is there where it was a picture."""

    source: Source
    traced: TracedDrawing | None = None

    def numbers(self, pattern: Pattern) -> dict[str, str]:
        """Give the number that each drawn piece is to have, by its own: of a traced drawing that in the picture of it.

        A piece that the picture does not number has the next number that is free.
        """
        drawn = [piece for piece in pattern.pieces if not piece.mirrored]
        if self.traced is None:
            return {piece.number: piece.drawn_number for piece in drawn}
        numbers = {
            piece.number: str(field.number)
            for piece in drawn
            for field in self.traced.fields
            if piece.face.contains(Point(field.at[0] * pattern.scale, field.at[1] * pattern.scale))
        }
        free = (str(number) for number in count(1) if str(number) not in numbers.values())
        return {piece.number: numbers.get(piece.number) or next(free) for piece in drawn}

    def place(self, old: Place) -> Place:
        """Give a place of the text as the maker knows it: lines of a traced drawing are in no file of theirs."""
        return old if self.traced is None else Place(path=self.source.path)


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


def read_source(path: Path, options: TraceOptions) -> SourceFile:
    """Read an SVG file from anywhere on the disk, or trace a photo or scan.

    Raises:
        MistakeError: it cannot be read or traced, or an SVG is given options for a picture.
    """
    shown, real = str(path), path.resolve()
    if not is_there(real):
        raise MistakeError.at(
            Place(path=shown),
            wrong="there is no such file",
            expected="the path of a drawing",
            mend="see where the file is; in the terminal you can drag it onto the window in place of typing its path",
        )
    # A folder or a pipe is refused by what reads text; a pipe must not be opened to look into it.
    if real.is_file() and not _is_svg(real):
        from catalog_builder.tracing.traced_drawing import drawing_of

        traced = drawing_of(path, options)
        return SourceFile(Source(shown, traced.svg), traced)
    given = {"--paper": options.paper_mm, "--dpi": options.dpi, "--half": options.half}
    for option in (option for option, value in given.items() if value is not None):
        raise MistakeError.at(
            Place(path=option),
            wrong=f"{option} is for a photo or a scan, and {shown} is an SVG",
            expected="for an SVG --width alone",
            mend=f'leave {option} out; the fold of an SVG is a line in it with data-mark="fold"',
        )
    try:
        return SourceFile(replace(read(real.parent, real), path=shown))
    except MistakeError as fault:
        raise MistakeError(replace(each, place=replace(each.place, path=shown)) for each in fault.mistakes) from None


def _is_svg(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            begins = file.read(100).removeprefix(b"\xef\xbb\xbf").lstrip()
    except OSError:
        begins = b""
    return path.suffix.lower() == ".svg" or begins.startswith(_SVG_BEGINS)


def measure_drawing(file: SourceFile, asked_mm: float | None, making: Making) -> SourceDrawing:
    """Find the pieces of a drawing; ``asked_mm`` is the width of the glass that the maker asks for.

    Raises:
        MistakeError: it cannot be read, encloses nothing, or has no size while none is asked for.
    """
    drawing = read_drawing(file.source)
    # The width of a picture is what its scale is taken from.
    width_mm = asked_mm if file.traced is None else None
    if not drawing.physical and width_mm is None:
        raise MistakeError.at(
            file.source.place(),
            wrong="the drawing does not say how large it is",
            expected="a width and height in mm, cm, in ... on the page, or the width of the glass",
            mend="add --width with the width that the glass is to have, such as --width 120mm",
        )
    bare = replace(drawing, glass=drawing.glass or "")
    pattern, mistakes = find_pieces(bare, scale_to_width(drawing, width_mm), Fitting.of(making), None)
    mistakes = tuple(replace(mistake, place=file.place(mistake.place)) for mistake in mistakes)
    drawn = "as the drawing says" if file.traced is None else "by the scale of the picture"
    width_by = "as you ask" if width_mm is not None else drawn
    width = width_mm or (round(pattern.width_mm, 2) if pattern.pieces else 0.0)
    return SourceDrawing(drawing, pattern, width, width_by, mistakes)
