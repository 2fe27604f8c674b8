"""Where a join lies on edges: spans from its upper end, in mm."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog_builder.pattern.parts.intervals import (
    join_spans,
    join_stretches,
    left_of,
    total_mm,
    uncovered,
)
from catalog_builder.pattern.parts.join import Join
from catalog_builder.pattern.seams import read_edges
from catalog_builder.pattern.svg.curve import Points
from tests.drawn import drawn, square

JOIN = Join(np.array([[50.0, 0.0], [50.0, 60.0]]), None, 1)
STEADY = settings(derandomize=True, database=None, deadline=None, max_examples=80)


def stretch(x: float, y: float, u: float, v: float) -> list[list[float]]:
    """A straight stretch."""
    return [[x, y], [u, v]]


def length_of(stretches: Points) -> float:
    """The length of straight stretches of shape (n, 2, 2)."""
    return float(np.hypot(*(stretches[:, 1] - stretches[:, 0]).T).sum())


@pytest.mark.parametrize(
    ("stretches", "spans"),
    [
        ([stretch(50, 0, 50, 60)], [(0, 60)]),
        ([stretch(50, 60, 50, -20)], [(0, 60)]),
        ([stretch(50, 10, 50, 25), stretch(50, 25, 50, 40)], [(10, 40)]),
        ([stretch(50.4, 10, 49.6, 25)], [(10, 25)]),
        ([stretch(51, 0, 51, 60)], []),
        ([stretch(0, 30, 100, 30)], []),
        # A short chord that only crosses the join does not lie along it.
        ([stretch(49.8, 30, 50.2, 30.1)], []),
        ([stretch(50, 70, 50, 90)], []),
    ],
)
def test_spans(stretches: list[list[list[float]]], spans: list[tuple[float, float]]) -> None:
    """An edge lies along a join where both its ends are near the line and it runs the same way."""
    assert np.ravel(join_spans(np.array(stretches), JOIN, 0.5)) == pytest.approx(np.ravel(spans))


@pytest.mark.parametrize(
    ("covered", "rest"),
    [
        ([], [(0, 60)]),
        ([(0, 60)], []),
        ([(10, 20), (15, 40)], [(0, 10), (40, 60)]),
        ([(0, 30)], [(30, 60)]),
        ([(30, 60), (0, 30)], []),
    ],
)
def test_gaps(covered: list[tuple[float, float]], rest: list[tuple[float, float]]) -> None:
    """What of a length is not covered."""
    assert uncovered(covered, 60) == rest


SPANS = st.lists(
    st.tuples(st.floats(0, 60), st.floats(0, 60)).map(lambda pair: (min(pair), max(pair))), min_size=0, max_size=6
)


@STEADY
@given(covered=SPANS)
def test_gaps_and_spans_are_the_whole(covered: list[tuple[float, float]]) -> None:
    """Gaps and what covers the rest add up to the length, however the spans overlap."""
    rest = uncovered(covered, 60)
    other = uncovered(rest, 60)
    assert total_mm(rest) + total_mm(other) == pytest.approx(60, abs=1e-6)
    assert np.hypot(*np.diff(join_stretches(rest, JOIN), axis=1)[:, 0].T).sum() == pytest.approx(total_mm(rest))


def test_joined_rims_fall_away() -> None:
    """Of two squares' rims a join takes what lies along it and leaves the rest, cut where the join ends."""
    edges = drawn(square(0, 0, 50).outline + square(50, 0, 50).outline).edges
    right = Join(np.array([[100.0, 10.0], [100.0, 40.0]]), None, 1)
    rest = np.array([part for rim in edges.rims for part in left_of(rim, [right], 0.5)])
    assert length_of(rest) == pytest.approx(300 - 30)
    along_edge = rest[np.abs(rest[:, :, 0] - 100).max(axis=1) < 1e-6]
    assert sorted(np.abs(np.diff(along_edge[:, :, 1], axis=1)).ravel().tolist()) == pytest.approx([10, 10])


def test_a_curve_that_leaves_a_join_keeps_its_length() -> None:
    """A rim that bends away from the join's end is rim from there on, in chords however short."""
    half = '<path d="M0,0 V60 A30 30 0 0 0 0,0 Z"/>'
    edges = read_edges([piece.face for piece in drawn(half, tolerance=0.0005).pattern.pieces])
    join = Join(np.array([[0.0, 0.0], [0.0, 60.0]]), None, 1)
    rest = np.array([part for rim in edges.rims for part in left_of(rim, [join], 0.5)])
    assert length_of(rest) == pytest.approx(edges.rim_mm - 60, abs=1e-6)
