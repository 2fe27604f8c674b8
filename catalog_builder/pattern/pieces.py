"""Numbered pieces of glass, unfolded, at the finished size, with their glass words and grain."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, Point, Polygon

from catalog_builder.mistake import Mistake, MistakeError
from catalog_builder.pattern.curve import Points
from catalog_builder.pattern.drawing import Drawing, Mark
from catalog_builder.pattern.faces import Flaw, Line, Outline, faces_of, polygon_of
from catalog_builder.pattern.fold import Fold

SMALLEST_MM2 = 1.0


@dataclass(frozen=True, slots=True)
class Piece:
    """One numbered cut of glass. ``face`` is in mm, y downwards; ``grain`` in degrees, None: along its length."""

    number: str
    face: Polygon
    glass: str
    grain: float | None


@dataclass(frozen=True, slots=True)
class Wire:
    """A soldered-on wire in mm; ``material`` where the drawing names one."""

    line: LineString
    material: str | None
    row: int


@dataclass(frozen=True, slots=True)
class Pattern:
    """A pattern at its finished size: pieces in the order of their numbers, wires and ring places, in mm."""

    pieces: tuple[Piece, ...]
    wires: tuple[Wire, ...]
    rings: tuple[tuple[float, float], ...]
    ring_lines: tuple[int, ...]
    fold: Fold | None
    scale: float

    @property
    def width_mm(self) -> float:
        """The finished width: of the glass, without wire that overhangs it."""
        box = shapely.total_bounds([piece.face for piece in self.pieces])
        return float(box[2] - box[0])


@dataclass(frozen=True, slots=True)
class _Flat:
    """A drawing's marks, flattened at the finished size and unfolded."""

    outlines: tuple[Outline, ...]
    lines: tuple[Line, ...]
    labels: tuple[tuple[Point, Mark, bool], ...]
    wires: tuple[Wire, ...]
    rings: tuple[tuple[float, float], ...]
    ring_lines: tuple[int, ...]
    fold: Fold | None
    flaws: tuple[Flaw, ...]


def read_pieces(
    drawing: Drawing, scale: float, tolerance_mm: float, snap_mm: float, grain: float | None
) -> Pattern:
    """Find the pieces of a drawing at ``scale`` (finished mm for each unit of the drawing).

    ``grain`` is that of pieces without their own: degrees, or None for along each piece's length.

    Raises:
        MistakeError: with the place of each fault, in the drawing's own units.
    """
    flat = _flattened(drawing, scale, tolerance_mm, snap_mm)
    flaws = list(flat.flaws)
    faces: list[Polygon] = []
    if not flaws:
        faces, flaws = faces_of(flat.outlines, flat.lines, snap_mm)
    if not flaws:
        faces, flaws = _without_open(faces, flat, flaws)
        if not faces and not flaws:
            flaws = [
                Flaw(
                    "the drawing encloses no glass",
                    "draw closed outlines, or lines that close a field",
                    (0, 0),
                )
            ]
    pieces, more = _named(faces, flat, drawing, grain) if not flaws else ([], [])
    flaws.extend(more)
    if flaws:
        raise MistakeError([_told(flaw, drawing, scale) for flaw in flaws])
    return Pattern(tuple(pieces), flat.wires, flat.rings, flat.ring_lines, flat.fold, scale)


def _told(flaw: Flaw, drawing: Drawing, scale: float) -> Mistake:
    x, y = flaw.at[0] / scale, flaw.at[1] / scale
    unit = " mm" if drawing.physical else ""
    return Mistake(
        place=drawing.source.place(flaw.line),
        wrong=f"{flaw.wrong}, at x {x:.1f}{unit}, y {y:.1f}{unit} of the drawing",
        expected="pieces that lie side by side, each closed all round",
        mend=flaw.mend,
    )


def _flattened(drawing: Drawing, scale: float, tolerance: float, snap: float) -> _Flat:
    flats = [(mark, [run.flat(tolerance / scale) * scale for run in mark.runs]) for mark in drawing.marks]
    folds = [(mark, runs[0]) for mark, runs in flats if mark.kind == "fold"]
    fold = Fold.through(folds[0][1]) if folds else None
    flaws = []
    if len(folds) > 1:
        flaws.append(Flaw("there are two fold lines", "keep one", tuple(folds[1][1][0]), folds[1][0].line))
    if folds and (len(folds[0][1]) < 2 or np.hypot(*(folds[0][1][-1] - folds[0][1][0])) < snap):
        flaws = [
            Flaw("the fold line has no length", "draw it along the whole design", (0, 0), folds[0][0].line)
        ]
        fold = None
    outlines: list[Outline] = []
    lines: list[Line] = []
    labels: list[tuple[Point, Mark, bool]] = []
    wires: list[Wire] = []
    rings: list[tuple[float, float, int]] = []
    for index, (mark, runs) in enumerate(flats):
        for mirrored in (False, True) if fold is not None else (False,):
            turned = [fold.mirrored(run) if mirrored and fold is not None else run for run in runs]
            if mark.kind == "outline":
                polygon, crossing = polygon_of(turned, mark.even_odd)
                if polygon is not None:
                    outlines.append(Outline(polygon, index, mark.line))
                elif crossing is not None and not mirrored:
                    mend = "draw it so that it runs round one piece, without crossing itself"
                    flaws.append(
                        Flaw("an outline crosses itself or is not one field", mend, crossing, mark.line)
                    )
            elif mark.kind == "line" and len(runs[0]) > 1:
                points = fold.snapped(runs[0], snap) if fold is not None else runs[0]
                lines.append(
                    Line(fold.mirrored(points) if mirrored and fold is not None else points, mark.line)
                )
            elif mark.kind == "wire" and len(runs[0]) > 1:
                points = fold.snapped(runs[0], snap) if fold is not None else runs[0]
                wire = LineString(fold.mirrored(points) if mirrored and fold is not None else points)
                if not any(
                    wire.equals_exact(one.line, 0.01) or wire.reverse().equals_exact(one.line, 0.01)
                    for one in wires
                ):
                    wires.append(Wire(wire, mark.material, mark.line))
            elif mark.kind == "ring":
                x, y = ((turned[0].min(axis=0) + turned[0].max(axis=0)) / 2).tolist()
                if not any(np.hypot(x - one[0], y - one[1]) < 0.1 for one in rings):
                    rings.append((x, y, mark.line))
            elif mark.kind in ("label", "open", "grain"):
                spot = Point(_spot(mark, turned, scale, fold if mirrored else None))
                labels.append((spot, mark, mirrored))
    flaws.extend(_wrong_side(fold, flats, snap))
    rings.sort()
    return _Flat(
        tuple(outlines),
        tuple(lines),
        tuple(labels),
        tuple(wires),
        tuple((x, y) for x, y, _ in rings),
        tuple(row for _, _, row in rings),
        fold,
        tuple(flaws),
    )


def _wrong_side(fold: Fold | None, flats: list[tuple[Mark, list[Points]]], snap: float) -> list[Flaw]:
    """A half must be drawn on one side of its fold, or pieces would lie over each other."""
    if fold is None:
        return []
    sides: dict[bool, tuple[float, Points, Mark]] = {}
    for mark, runs in flats:
        if mark.kind in ("outline", "line"):
            for run in runs:
                off = fold.side(run)
                for over, index in ((True, int(off.argmax())), (False, int(off.argmin()))):
                    reach = float(off[index] if over else -off[index])
                    if reach > 3 * snap and reach > sides.get(over, (0.0,))[0]:
                        sides[over] = (reach, run[index], mark)
    if len(sides) < 2:
        return []
    _, point, mark = min(sides.values(), key=lambda side: side[0])
    mend = "draw half of the design on one side of the fold line, or take the fold line out"
    return [Flaw("the drawing lies on both sides of its fold line", mend, (point[0], point[1]), mark.line)]


def _spot(mark: Mark, runs: list[Points], scale: float, fold: Fold | None) -> tuple[float, float]:
    if mark.at is None:
        x, y = ((runs[0].min(axis=0) + runs[0].max(axis=0)) / 2).tolist()
        return x, y
    point = np.array([mark.at]) * scale
    x, y = (fold.mirrored(point) if fold is not None else point)[0].tolist()
    return x, y


def _without_open(faces: list[Polygon], flat: _Flat, flaws: list[Flaw]) -> tuple[list[Polygon], list[Flaw]]:
    """Leave out faces marked as open; tell marks that lie in no face."""
    kept = list(faces)
    for spot, mark, mirrored in flat.labels:
        if mark.kind == "open":
            hit = [face for face in kept if face.contains(spot)]
            kept = [face for face in kept if not face.contains(spot)]
            if not hit and not mirrored and not any(face.contains(spot) for face in faces):
                flaws.append(
                    Flaw(
                        "a mark for an open field lies in none",
                        "move it into the field",
                        (spot.x, spot.y),
                        mark.line,
                    )
                )
    return kept, flaws


def _named(
    faces: list[Polygon], flat: _Flat, drawing: Drawing, grain: float | None
) -> tuple[list[Piece], list[Flaw]]:
    """Give each face its number, glass word and grain."""
    flaws: list[Flaw] = []
    tree = shapely.STRtree(faces)
    own: dict[int, list[tuple[Mark, bool]]] = {}
    arrows: dict[int, float] = {}
    for spot, mark, mirrored in flat.labels:
        if mark.kind == "open":
            continue
        hit = tree.query(spot, predicate="within").tolist()
        if not hit and not mirrored:
            what = f"the label {mark.number!r}" if mark.kind == "label" else "a grain arrow"
            flaws.append(
                Flaw(f"{what} lies in no piece", "move it into its piece", (spot.x, spot.y), mark.line)
            )
        elif hit and mark.kind == "label":
            own.setdefault(hit[0], []).append((mark, mirrored))
        elif hit and not (mirrored and hit[0] in arrows):
            arrows[hit[0]] = _arrow(mark, flat.fold if mirrored else None)
    numbers = _numbers(faces, own, flat.fold, flaws)
    pieces = []
    for index, face in enumerate(faces):
        labels = own.get(index, [])
        mark = min(labels, key=lambda one: one[1])[0] if labels else None
        mirrored = bool(labels) and all(one[1] for one in labels)
        outline = _outline(face, flat, drawing)
        glass = next((one.glass for one in (mark, outline) if one is not None and one.glass), drawing.glass)
        turn = next(
            (one.grain for one in (mark, outline) if one is not None and one.grain is not None), drawing.grain
        )
        if mark is None and outline is not None and flat.fold is not None:
            mirrored = flat.fold.side(_point(face))[0] * _drawn_side(flat.fold, drawing) < 0
        if turn is not None and mirrored and flat.fold is not None:
            turn = flat.fold.grain(turn)
        if face.area < SMALLEST_MM2:
            x, y = _point(face)[0].tolist()
            mend = "move the lines that enclose it apart, or join it to its neighbour"
            flaws.append(Flaw(f"a piece of {face.area:.2f} mm2 is too small to be glass", mend, (x, y), None))
        if glass is None:
            x, y = _point(face)[0].tolist()
            mend = "put a label into the piece with data-glass, or data-glass on its outline, group or the whole drawing"
            flaws.append(
                Flaw(
                    f"the piece {numbers[index]} has no glass word",
                    mend,
                    (x, y),
                    outline.line if outline else None,
                )
            )
        pieces.append(
            Piece(
                numbers[index],
                shapely.normalize(face),
                glass or "",
                arrows.get(index, turn if turn is not None else grain),
            )
        )
    return sorted(pieces, key=lambda piece: _order(piece.number)), flaws


def _point(face: Polygon) -> Points:
    point = face.representative_point()
    return np.array([[point.x, point.y]])


def _drawn_side(fold: Fold, drawing: Drawing) -> float:
    """Give the side of the fold that is drawn: 1 or -1. Sides do not change with the scale."""
    reach = [
        fold.side(run.flat(1.0))
        for mark in drawing.marks
        if mark.kind in ("outline", "line")
        for run in mark.runs
    ]
    points = np.concatenate(reach)
    return 1.0 if points.max() >= -points.min() else -1.0


def _arrow(mark: Mark, fold: Fold | None) -> float:
    points = mark.runs[0].flat(0.1)
    way = points[-1] - points[0]
    degrees = float(np.degrees(np.arctan2(-way[1], way[0]))) % 180
    return fold.grain(degrees) if fold is not None else degrees


def _outline(face: Polygon, flat: _Flat, drawing: Drawing) -> Mark | None:
    """Give the smallest outline that the face lies in."""
    point = face.representative_point()
    holding = [outline for outline in flat.outlines if outline.polygon.contains(point)]
    return drawing.marks[min(holding, key=lambda one: one.polygon.area).mark] if holding else None


def _numbers(
    faces: Sequence[Polygon], own: dict[int, list[tuple[Mark, bool]]], fold: Fold | None, flaws: list[Flaw]
) -> list[str]:
    """Number faces as drawn, the rest in reading order; the two sides of a fold get L and R."""
    drawn: dict[int, str] = {}
    for index, labels in own.items():
        words = {mark.number for mark, _ in labels if mark.number}
        if len(words) > 1:
            x, y = _point(faces[index])[0].tolist()
            mend = "a line that should part the piece is missing, or a label lies on the wrong side of one"
            shown = " and ".join(sorted(words))
            flaws.append(Flaw(f"one piece holds the labels {shown}", mend, (x, y), labels[-1][0].line))
        if words:
            drawn[index] = min(words)
    twins = _twins(faces, fold)
    for index, twin in twins.items():
        if index not in drawn and twin in drawn:
            drawn[index] = drawn[twin]
    rest = [index for index in range(len(faces)) if index not in drawn]
    height = max((face.bounds[3] for face in faces), default=0) - min(
        (face.bounds[1] for face in faces), default=0
    )
    row = max(height / 12, 1e-6)
    rest.sort(key=lambda index: (round(faces[index].centroid.y / row), faces[index].centroid.x))
    taken = set(drawn.values())
    count = 0
    for index in rest:
        if index in drawn:
            continue
        count += 1
        while str(count) in taken:
            count += 1
        drawn[index] = str(count)
        if index in twins:
            drawn[twins[index]] = str(count)
    sided = []
    for index in range(len(faces)):
        if fold is None or index not in twins or twins[index] == index:
            sided.append(drawn[index])
        else:
            left = fold.side(_point(faces[index]))[0] * 1.0 < 0
            sided.append(drawn[index] + ("L" if left else "R"))
    doubled = sorted({number for number in sided if sided.count(number) > 1})
    for number in doubled:
        index = len(sided) - 1 - sided[::-1].index(number)
        x, y = _point(faces[index])[0].tolist()
        line = own[index][0][0].line if index in own else None
        flaws.append(
            Flaw(f"two pieces have the number {number}", "give each piece a number of its own", (x, y), line)
        )
    return sided


def _twins(faces: Sequence[Polygon], fold: Fold | None) -> dict[int, int]:
    """Pair each face with its mirror image; a face that lies across the fold is its own."""
    if fold is None:
        return {}
    tree = shapely.STRtree(faces)
    pairs = {}
    for index, face in enumerate(faces):
        image = fold.mirrored(_point(face))[0]
        hit = tree.query(Point(image), predicate="within").tolist()
        if hit:
            pairs[index] = hit[0]
    return {index: twin for index, twin in pairs.items() if pairs.get(twin) == index}


def _order(number: str) -> tuple[int, str]:
    digits = "".join(character for character in number if character.isdigit())
    return int(digits) if digits else 10**9, number
