"""Numbers of pieces: as drawn, the rest in reading order; the two sides of a fold get L and R."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Point, Polygon

from catalog_builder.mistake import listed, quoted
from catalog_builder.pattern.faces import inner_point
from catalog_builder.pattern.flaw import Flaw
from catalog_builder.pattern.fold import Fold
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.pattern.svg.mark import Mark
from catalog_builder.pattern.unfolding import PointMark

# A design is read in rows, each a twelfth of its height: pieces beside each other seldom have their middles level.
ROWS = 12


@dataclass(frozen=True, slots=True)
class FaceNumber:
    """The number of a face as it is drawn, and the side of the fold that it is on: L, R, or empty for neither."""

    drawn: str
    side: str = ""

    def __str__(self) -> str:
        return self.drawn + self.side


def number_faces(
    faces: Sequence[Polygon], labels: Mapping[int, Sequence[PointMark]], outlines: Mapping[int, Mark], fold: Fold | None
) -> tuple[list[FaceNumber], list[Flaw]]:
    """Give each face its number, and what is wrong with the labels.

    ``labels`` are by the face they lie in, ``outlines`` by the face they run round; a label goes before an outline.
    """
    given, flaws = _labelled_numbers(faces, labels)
    given = {**{index: mark.number for index, mark in outlines.items() if mark.number}, **given}
    twins = _mirror_pairs(faces, fold)
    for index, twin in twins.items():
        if index not in given and twin in given:
            given[index] = given[twin]
    numbers = _number_rest(faces, given, twins)
    face_numbers = [
        FaceNumber(numbers[index], _side(face, fold) if twins.get(index, index) != index else "")
        for index, face in enumerate(faces)
    ]
    names = [str(number) for number in face_numbers]
    for number in sorted(number for number, count in Counter(names).items() if count > 1):
        index = len(names) - 1 - names[::-1].index(number)
        mark = labels[index][0].mark if index in labels else outlines.get(index)
        wrong, mend = f"two pieces have the number {quoted(number)}", "change one of the two numbers"
        expected = "a number of its own for each piece"
        flaws.append(Flaw(wrong, mend, inner_point(faces[index]), mark.line if mark else None, expected))
    return face_numbers, flaws


def reading_order(number: str) -> tuple[int, str]:
    """Sort numbers as numbers: 2 before 10, 3L before 3R."""
    digits = "".join(character for character in number if character in "0123456789")[:9]
    return int(digits) if digits else 10**9, number


def _labelled_numbers(
    faces: Sequence[Polygon], labels: Mapping[int, Sequence[PointMark]]
) -> tuple[dict[int, str], list[Flaw]]:
    given, flaws = {}, []
    for index, marks in labels.items():
        words = sorted(_counting(marks))
        if len(words) > 1:
            mend = "a line that should part the piece is missing, or a label lies on the wrong side of one"
            wrong = f"one piece holds the labels {listed(words)}"
            flaws.append(Flaw(wrong, mend, inner_point(faces[index]), marks[-1].mark.line, "one label in a piece"))
        if words:
            given[index] = words[0]
    return given, flaws


def _counting(labels: Sequence[PointMark]) -> set[str]:
    """Give the numbers in a piece that count: the record's before drawn ones, but no mirror image before either."""
    by_record = [label for label in labels if label.mark.line < 0]
    drawn = [label for label in labels if label.mark.line >= 0]
    numbers = [{label.mark.number for label in own if label.mark.number} for own in (by_record, drawn)]
    for own, given in zip((by_record, drawn), numbers, strict=True):
        if any(label.mark.number and not label.mirrored for label in own):
            return given
    return numbers[0] or numbers[1]


def _number_rest(faces: Sequence[Polygon], given: Mapping[int, str], twins: Mapping[int, int]) -> dict[int, str]:
    """Number the faces without a number, row by row from the top, each row from the left."""
    numbers = dict(given)
    bounds = shapely.bounds(np.array(faces, dtype=object))
    row = max(float(np.ptp(bounds[:, [1, 3]])) / ROWS, 1e-6)
    rest = [index for index in range(len(faces)) if index not in given]
    rest.sort(key=lambda index: (round(faces[index].centroid.y / row), faces[index].centroid.x))
    taken, count = set(given.values()), 0
    for index in rest:
        if index not in numbers:
            count += 1
            while str(count) in taken:
                count += 1
            numbers[index] = numbers[twins.get(index, index)] = str(count)
    return numbers


def _side(face: Polygon, fold: Fold | None) -> str:
    if fold is None:
        return ""
    return "L" if fold.side(np.array([inner_point(face)]))[0] < 0 else "R"


def _mirror_pairs(faces: Sequence[Polygon], fold: Fold | None) -> dict[int, int]:
    """Pair each face with its mirror image; a face across the fold is its own image."""
    if fold is None:
        return {}
    tree = shapely.STRtree(faces)
    points: Points = np.array([inner_point(face) for face in faces])
    pairs: dict[int, int] = {}
    for index, image in enumerate(fold.mirrored(points)):
        hit = tree.query(Point(image), predicate="within").tolist()
        if hit:
            pairs[index] = hit[0]
    return {index: twin for index, twin in pairs.items() if pairs.get(twin) == index}
