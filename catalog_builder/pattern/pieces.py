"""Numbered pieces of glass, unfolded, at the finished size, with their glass words and grain."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from catalog_builder.mistake import Mistake, MistakeError, quoted
from catalog_builder.pattern.faces import Outline, faces_of, inner_point
from catalog_builder.pattern.flaw import Flaw
from catalog_builder.pattern.fold import Fold
from catalog_builder.pattern.numbers import number_faces, reading_order
from catalog_builder.pattern.open_fields import parted, without_opened
from catalog_builder.pattern.parts.join import Join
from catalog_builder.pattern.stroke import is_stroke, mean_width
from catalog_builder.pattern.svg.drawing import Drawing
from catalog_builder.pattern.svg.mark import Mark
from catalog_builder.pattern.unfolding import SAME_MM, PointMark, Ring, Unfolded, Wire, unfold
from catalog_builder.records.studio import Making

SMALLEST_MM2 = 1.0
# Of pieces with the same flaw.
MOST_NAMED = 24
_ADD_GLASS = (
    "name it in `marks:` of the record, or put data-glass on a label in the piece, on its outline or group, or on the "
    "whole drawing"
)


@dataclass(frozen=True, slots=True)
class Piece:
    """One numbered piece of glass. ``face`` is in mm, y downwards; ``grain`` in degrees, None: along its length.

    ``row`` is the line of the mark that gives its number or glass word, if there is one. ``side`` is the end of its
    number that tells the side of the fold, and ``mirrored`` says that it is the mirror image of what is drawn.
    ``outline`` is the closed outline that it lies in, if there is one.
    """

    number: str
    face: Polygon
    glass: str
    grain: float | None
    row: int | None = None
    side: str = ""
    mirrored: bool = False
    outline: Mark | None = field(default=None, compare=False, repr=False)

    @property
    def drawn_number(self) -> str:
        """The number as the drawing has it, without the side of the fold."""
        return self.number.removesuffix(self.side)


@dataclass(frozen=True, slots=True)
class Pattern:
    """A pattern at its finished size: pieces in the order of their numbers, wires and ring places, in mm.

    ``scale`` is finished mm for each unit of the drawing, ``enlarged`` how many times as large as drawn it is.
    ``open_at`` has the marks of fields without glass, ``open_fields`` those of them that lines enclose. ``drawn_side``
    is below zero where the half on the fold's left is drawn, above it for its right.
    """

    pieces: tuple[Piece, ...]
    wires: tuple[Wire, ...]
    rings: tuple[Ring, ...]
    fold: Fold | None
    joins: tuple[Join, ...]
    scale: float
    enlarged: float = 1.0
    open_at: tuple[Point, ...] = ()
    open_fields: tuple[Polygon, ...] = ()
    drawn_side: float = 0.0

    @property
    def glass(self) -> BaseGeometry:
        """All of its glass as one shape: a polygon, or several where its pieces do not hang together."""
        return shapely.union_all([piece.face for piece in self.pieces])

    @property
    def width_mm(self) -> float:
        """The finished width: of the glass, without wire that overhangs it."""
        box = shapely.total_bounds([piece.face for piece in self.pieces])
        return float(box[2] - box[0])

    def is_drawn(self, x: float, y: float) -> bool:
        """Whether a place in mm lies in the half that is drawn, or on the fold; everywhere without a fold."""
        return self.fold is None or float(self.fold.side(np.array([[x, y]]))[0]) * self.drawn_side >= -SAME_MM

    @property
    def standing_joins(self) -> tuple[Join, ...]:
        """The joins where they stand: those across the fold mirrored."""
        return tuple(
            replace(join, points=self.fold.mirrored(join.points)) if join.mirrored and self.fold is not None else join
            for join in self.joins
        )


@dataclass(frozen=True, slots=True)
class Fitting:
    """How closely a drawing is followed, in mm at the finished size.

    Curves stay within ``tolerance_mm``; line ends that miss by up to ``snap_mm`` are joined; outlines up
    to ``gap_mm`` apart share a seam.
    """

    tolerance_mm: float
    snap_mm: float
    gap_mm: float

    @classmethod
    def of(cls, making: Making) -> Fitting:
        """Take them from the studio's record."""
        return cls(float(making.chord_tolerance_mm), float(making.snap_mm), float(making.foil_gap_mm))

    def scaled(self, factor: float) -> Fitting:
        """Scale for a drawing that is made larger: what its lines miss by grows with it, the tolerance does not."""
        return Fitting(self.tolerance_mm, self.snap_mm * factor, self.gap_mm * factor)


def read_pieces(drawing: Drawing, scale: float, fitting: Fitting, grain: float | None) -> Pattern:
    """Find the pieces of a drawing at ``scale`` (finished mm for each unit of the drawing).

    ``grain`` is that of pieces without their own: degrees, or None for along each piece's length.

    Raises:
        MistakeError: with the place of each fault, in the drawing's own units.
    """
    pattern, mistakes = find_pieces(drawing, scale, fitting, grain)
    if mistakes:
        raise MistakeError(mistakes)
    return pattern


def find_pieces(
    drawing: Drawing, scale: float, fitting: Fitting, grain: float | None
) -> tuple[Pattern, tuple[Mistake, ...]]:
    """Find the pieces as ``read_pieces`` does, as far as possible, and every mistake of the drawing.

    A piece without a glass word has an empty one. Where lines close no fields, there are no pieces.

    Raises:
        MistakeError: the drawing encloses nothing, or has too many marks to be a pattern.
    """
    unfolded = unfold(drawing, scale, fitting.tolerance_mm, fitting.snap_mm)
    flaws = list(unfolded.flaws)
    pieces: list[Piece] = []
    open_fields: list[Polygon] = []
    if not flaws:
        faces, flaws = faces_of(unfolded.outlines, unfolded.lines, fitting.snap_mm, fitting.gap_mm)
        if not flaws:
            faces, open_fields, flaws = parted(faces, unfolded.point_marks)
        if not faces and not flaws:
            expected = "closed outlines, or lines that close a field"
            mend = "draw the edges of the pieces as lines; pictures and filled strokes do not count"
            if drawing.unseen:
                mend = 'give the shapes a stroke, or data-mark="outline": those without fill and stroke do not count'
            place, wrong = drawing.source.place(drawing.source.first_line), "the drawing encloses no glass"
            raise MistakeError.at(place, wrong=wrong, expected=expected, mend=mend)
        if not flaws:
            pieces, flaws = _number_pieces(faces, without_opened(unfolded, open_fields), drawing, grain)
    # By a fold, every flaw has a mirror image; only the half that is drawn can be mended.
    in_drawn_half = [flaw for flaw in flaws if unfolded.is_drawn(flaw.at)]
    mistakes = tuple(_as_mistake(flaw, drawing, scale) for flaw in in_drawn_half or flaws)
    open_at = tuple(point.at for point in unfolded.point_marks if point.mark.kind == "open")
    known = tuple(pieces), unfolded.wires, unfolded.rings, unfolded.fold, unfolded.joins, scale
    return Pattern(*known, open_at=open_at, open_fields=tuple(open_fields), drawn_side=unfolded.side), mistakes


def _as_mistake(flaw: Flaw, drawing: Drawing, scale: float) -> Mistake:
    x, y = flaw.at[0] / scale, flaw.at[1] / scale
    unit = " mm" if drawing.physical else ""
    return Mistake(
        place=drawing.place(flaw.line),
        wrong=f"{flaw.wrong}, at x {x:.1f}{unit}, y {y:.1f}{unit} of the drawing",
        expected=flaw.expected,
        mend=flaw.mend,
        spot=(x, y),
    )


def _number_pieces(
    faces: Sequence[Polygon], unfolded: Unfolded, drawing: Drawing, grain: float | None
) -> tuple[list[Piece], list[Flaw]]:
    """Give each face its number, glass word and grain."""
    labels, arrows, flaws = _marks_by_face(faces, unfolded, drawing)
    outlines = _smallest_outlines(faces, unfolded.outlines)
    own = {index: outline.mark for index, outline in outlines.items() if not outline.mirrored}
    numbers, more = number_faces(faces, labels, own, unfolded.fold)
    flaws.extend(more)
    drawn_side = "L" if unfolded.side < 0 else "R"
    pieces: list[Piece] = []
    wordless: list[Piece] = []
    for index, face in enumerate(faces):
        marks = [(point.mark, point.mirrored) for point in labels.get(index, ())]
        if index in outlines:
            marks.append((outlines[index].mark, outlines[index].mirrored))
        glass = next((mark.glass for mark, _ in marks if mark.glass), drawing.glass)
        line = marks[0][0].line if marks else None
        if face.area < SMALLEST_MM2:
            mend = "move the lines that enclose it apart, or join it to its neighbour"
            wrong = f"a piece of {face.area:.2f} mm2 is too small to be glass"
            flaws.append(Flaw(wrong, mend, inner_point(face), line))
        elif is_stroke(face):
            wrong = f"a piece {mean_width(face):.1f} mm wide is too narrow to be glass"
            mend = "if it is a stroke or a text turned into a shape, draw the line or text itself, or mark it as none"
            flaws.append(Flaw(wrong, mend, inner_point(face), line))
        arrow = _own_grain(marks, arrows.get(index), unfolded.fold)
        if arrow is None:
            arrow = _marked_grain(marks, unfolded.fold, drawing.grain)
        turn = grain if arrow is None else arrow
        side = numbers[index].side
        outline = outlines[index].mark if index in outlines else None
        known = str(numbers[index]), shapely.normalize(face), glass or "", turn, line
        pieces.append(Piece(*known, side, mirrored=side not in ("", drawn_side), outline=outline))
        if glass is None:
            wordless.append(pieces[-1])
    pieces.sort(key=lambda piece: reading_order(piece.number))
    return pieces, [*flaws, *_without_word([piece for piece in wordless if not piece.mirrored])]


def _without_word(pieces: Sequence[Piece]) -> Iterator[Flaw]:
    """Report pieces without a glass word in one flaw: a new drawing has none at all."""
    if not pieces:
        return
    first, *more = sorted(pieces, key=lambda piece: reading_order(piece.number))
    wrong = f"the piece {first.number} has no glass word"
    if more:
        rest = f" and {len(more) + 1 - MOST_NAMED} more" if len(more) >= MOST_NAMED else ""
        names = ", ".join(piece.number for piece in (first, *more[: MOST_NAMED - 1]))
        wrong = f"{len(more) + 1} pieces have no glass word: {names}{rest}; the first is {first.number}"
    at = inner_point(first.face)
    yield Flaw(wrong, _ADD_GLASS, at, first.row, "a glass word for each piece")


def _marks_by_face(
    faces: Sequence[Polygon], unfolded: Unfolded, drawing: Drawing
) -> tuple[dict[int, list[PointMark]], dict[int, PointMark], list[Flaw]]:
    """Find the face of every label and grain arrow; what is drawn goes before its mirror image."""
    tree = shapely.STRtree(faces)
    labels: dict[int, list[PointMark]] = {}
    arrows: dict[int, PointMark] = {}
    flaws = []
    for point in sorted(unfolded.point_marks, key=lambda point: point.mirrored):
        if point.mark.kind == "open":
            continue
        hit = tree.query(point.at, predicate="within").tolist()
        if hit and point.mark.kind == "label":
            labels.setdefault(hit[0], []).append(point)
        elif hit:
            arrows.setdefault(hit[0], point)
        elif not point.mirrored:
            label = f"the label {quoted(point.mark.number)}" if point.mark.number else "a label"
            wrong = f"{label if point.mark.kind == 'label' else 'a grain arrow'} lies in no piece"
            at, mend = (point.at.x, point.at.y), "move it into its piece; where a text begins is what counts"
            if drawing.backgrounds:
                mend += '; a rectangle as large as the page is glass only with a stroke or data-mark="outline"'
            flaws.append(Flaw(wrong, mend, at, point.mark.line, "each label and grain arrow inside its piece"))
    return labels, arrows, flaws


def _smallest_outlines(faces: Sequence[Polygon], outlines: Sequence[Outline]) -> dict[int, Outline]:
    """Give for each face the smallest outline that it lies in, if there is one."""
    points = [face.representative_point() for face in faces]
    tree = shapely.STRtree([outline.polygon for outline in outlines])
    areas = [outline.polygon.area for outline in outlines]
    smallest: dict[int, int] = {}
    for face, outline in zip(*tree.query(points, predicate="within").tolist(), strict=True):
        best = smallest.get(face, outline)
        smallest[face] = min(best, outline, key=lambda index: (areas[index], outlines[index].mirrored, index))
    return {face: outlines[outline] for face, outline in smallest.items()}


def _own_grain(marks: Sequence[tuple[Mark, bool]], arrow: PointMark | None, fold: Fold | None) -> float | None:
    """Give the grain that the record or an arrow gives a piece: the record's first, but no mirror image before one."""
    by_record = [pair for pair in marks if pair[0].line < 0 and pair[0].grain is not None]
    mirrored = min((mirrored for _, mirrored in by_record), default=True)
    if arrow is not None and (not by_record or (mirrored and not arrow.mirrored)):
        return _arrow_grain(arrow.mark, fold if arrow.mirrored else None)
    return _marked_grain(by_record, fold, None)


def _marked_grain(marks: Sequence[tuple[Mark, bool]], fold: Fold | None, otherwise: float | None) -> float | None:
    for mark, mirrored in marks:
        if mark.grain is not None:
            return fold.grain(mark.grain) if mirrored and fold is not None else mark.grain
    return otherwise


def _arrow_grain(mark: Mark, fold: Fold | None) -> float:
    """Give the direction of a grain arrow in degrees anticlockwise from horizontal as seen, 0 to 180."""
    points = mark.runs[0].flat(0.1)
    direction = points[-1] - points[0]
    degrees = float(np.degrees(np.arctan2(-direction[1], direction[0]))) % 180
    return fold.grain(degrees) if fold is not None else degrees
