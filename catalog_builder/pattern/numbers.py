"""Numbers of pieces: as drawn, the rest in reading order; the two sides of a fold get L and R."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

import numpy as np
import shapely
from shapely import Point, Polygon

from catalog_builder.mistake import listed, quoted
from catalog_builder.pattern.faces import Flaw
from catalog_builder.pattern.fold import Fold
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.pattern.svg.drawing import Mark
from catalog_builder.pattern.unfolding import Spot

# Pieces whose middles differ in height by less than this share of the design are read as one row.
ROWS = 12


def number_faces(
    faces: Sequence[Polygon], labels: Mapping[int, Sequence[Spot]], outlines: Mapping[int, Mark], fold: Fold | None
) -> tuple[list[str], list[Flaw]]:
    """Give each face its number, and what is wrong with the labels.

    ``labels`` are by the face they lie in, ``outlines`` by the face they run round; a label goes before an outline.
    """
    drawn, flaws = _labelled(faces, labels)
    drawn = {**{index: mark.number for index, mark in outlines.items() if mark.number}, **drawn}
    twins = _twins(faces, fold)
    for index, twin in twins.items():
        if index not in drawn and twin in drawn:
            drawn[index] = drawn[twin]
    numbers = _counted(faces, drawn, twins)
    sided = [
        _sided(faces[index], numbers[index], twins.get(index, index) != index, fold) for index in range(len(faces))
    ]
    for number in sorted(number for number, count in Counter(sided).items() if count > 1):
        index = len(sided) - 1 - sided[::-1].index(number)
        mark = labels[index][0].mark if index in labels else outlines.get(index)
        wrong, mend = f"two pieces have the number {quoted(number)}", "change one of the two numbers"
        expected = "a number of its own for each piece"
        flaws.append(Flaw(wrong, mend, inside(faces[index]), mark.line if mark else None, expected))
    return sided, flaws


def inside(face: Polygon) -> tuple[float, float]:
    """Give a point that lies inside a face."""
    point = face.representative_point()
    return float(point.x), float(point.y)


def reading_order(number: str) -> tuple[int, str]:
    """Sort numbers as numbers: 2 before 10, 3L before 3R."""
    digits = "".join(character for character in number if character in "0123456789")[:9]
    return int(digits) if digits else 10**9, number


def _labelled(faces: Sequence[Polygon], labels: Mapping[int, Sequence[Spot]]) -> tuple[dict[int, str], list[Flaw]]:
    drawn, flaws = {}, []
    for index, spots in labels.items():
        words = sorted({spot.mark.number for spot in spots if spot.mark.number})
        if len(words) > 1:
            mend = "a line that should part the piece is missing, or a label lies on the wrong side of one"
            wrong = f"one piece holds the labels {listed(words)}"
            flaws.append(Flaw(wrong, mend, inside(faces[index]), spots[-1].mark.line, "one label in a piece"))
        if words:
            drawn[index] = words[0]
    return drawn, flaws


def _counted(faces: Sequence[Polygon], drawn: Mapping[int, str], twins: Mapping[int, int]) -> dict[int, str]:
    """Number what has no number yet, row by row from the top, each row from the left."""
    numbers = dict(drawn)
    bounds = shapely.bounds(np.array(faces, dtype=object))
    row = max(float(np.ptp(bounds[:, [1, 3]])) / ROWS, 1e-6)
    rest = [index for index in range(len(faces)) if index not in drawn]
    rest.sort(key=lambda index: (round(faces[index].centroid.y / row), faces[index].centroid.x))
    taken, count = set(drawn.values()), 0
    for index in rest:
        if index not in numbers:
            count += 1
            while str(count) in taken:
                count += 1
            numbers[index] = numbers[twins.get(index, index)] = str(count)
    return numbers


def _sided(face: Polygon, number: str, twinned: bool, fold: Fold | None) -> str:
    if fold is None or not twinned:
        return number
    return number + ("L" if fold.side(np.array([inside(face)]))[0] < 0 else "R")


def _twins(faces: Sequence[Polygon], fold: Fold | None) -> dict[int, int]:
    """Pair each face with its mirror image; a face that lies across the fold is its own."""
    if fold is None:
        return {}
    tree = shapely.STRtree(faces)
    points: Points = np.array([inside(face) for face in faces])
    pairs: dict[int, int] = {}
    for index, image in enumerate(fold.mirrored(points)):
        hit = tree.query(Point(image), predicate="within").tolist()
        if hit:
            pairs[index] = hit[0]
    return {index: twin for index, twin in pairs.items() if pairs.get(twin) == index}
