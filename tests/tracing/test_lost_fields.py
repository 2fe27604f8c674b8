"""The line work is checked against the fields on paper: none is lost, opened or made in silence."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from catalog_builder.tracing.arrays import Points
from catalog_builder.tracing.ink.traced_field import TracedField
from catalog_builder.tracing.lost_fields import lost_fields

LEFT, RIGHT = TracedField(1, (5.0, 10.0), 200.0, 8.0), TracedField(2, (15.0, 10.0), 200.0, 8.0)


def straight(*corners: tuple[float, float]) -> list[Points]:
    """A line through corners, a curve for each side."""
    points = np.array(corners, dtype=float)
    return [np.linspace(begin, end, 4) for begin, end in pairwise(points)]


RIM = straight((0, 0), (10, 0), (20, 0), (20, 20), (10, 20), (0, 20), (0, 0))
SEAM = straight((10, 0), (10, 20))


def told(*lines: list[Points], fold: tuple[Points, Points] | None = None) -> list[str]:
    """What is said of lines that two fields are drawn with."""
    findings = list(lost_fields(lines, fold, (LEFT, RIGHT)))
    assert all(finding.doubt and finding.at is not None for finding in findings)
    return [finding.text.split(";")[0] for finding in findings]


def test_a_field_for_each_piece_is_no_doubt() -> None:
    """Two rooms of 200 mm2 are the two fields."""
    assert told(RIM, SEAM) == []


def test_a_seam_that_stops_short_is_told() -> None:
    """Two fields run into one piece: it is as large as both, and the second has none."""
    assert told(RIM, straight((10, 0), (10, 19))) == [
        "field 1 has 200 mm2 on paper, but the traced lines enclose 400 mm2",
        "the traced lines do not close field 2",
    ]


def test_an_open_rim_is_told() -> None:
    """A field whose rim is not closed is no piece."""
    assert told(
        straight((10, 0), (10, 20), (0, 20), (0, 0), (10, 0)), straight((10, 0), (20, 0), (20, 20), (11, 20))
    ) == ["the traced lines do not close field 2"]


def test_a_piece_that_is_no_field_is_told() -> None:
    """Lines that enclose more than was on paper are told at a place inside."""
    assert told(RIM, SEAM, straight((20, 0), (30, 0), (30, 20), (20, 20))) == [
        "the traced lines enclose 200 mm2 that are no field on paper"
    ]


def test_the_fold_closes_the_fields_that_lie_on_it() -> None:
    """Of a half, the fields end at the fold, through the very ends of the lines there."""
    half = straight((20, 0.001), (0, 0), (0, 20), (20.001, 20))
    fold = np.array([20.0, -5.0]), np.array([20.0, 25.0])
    assert told(half, SEAM, fold=fold) == []
    assert told(half, SEAM) == ["the traced lines do not close field 2"]
