"""Straight edges in space: where they meet, each stretch counted once, and where they nearly do."""

from __future__ import annotations

import numpy as np
import pytest

from catalog_builder.pattern.parts.meeting import Run, gaps_between, meet, straight_runs

SNAP_MM = 0.3
Place = tuple[float, float, float]


def runs(*ends: tuple[Place, Place]) -> list[Run]:
    """Runs of a copy each."""
    return [Run(number, np.array(pair, dtype=float)) for number, pair in enumerate(ends)]


def lengths(found: list[Run]) -> list[float]:
    """The length of the corners that each run counts."""
    return [sum(float(np.linalg.norm(part[1] - part[0])) for part in run.corners) for run in found]


def upright(begin: float, end: float, x: float = 0.0, z: float = 0.0) -> tuple[Place, Place]:
    """An edge that runs down."""
    return (x, begin, z), (x, end, z)


@pytest.mark.parametrize(
    ("edges", "counted"),
    [
        ([upright(0, 60), upright(0, 60)], [60, 0]),
        # The other way round, and as far apart as is snapped.
        ([upright(0, 60), upright(60, 0, 0.2, 0.2)], [60, 0]),
        ([upright(0, 60), upright(0, 60, 0.3, 0.3)], [0, 0]),
        # In part, and two beside one.
        ([upright(0, 60), upright(20, 80)], [40, 0]),
        ([upright(0, 60), upright(0, 30), upright(30, 60)], [60, 0, 0]),
        # Three at once: what all have, and what two of them have.
        ([upright(0, 60), upright(0, 60), upright(0, 90)], [60, 0, 0]),
        ([upright(0, 30), upright(0, 60), upright(0, 90)], [30, 30, 0]),
        # Edges that only cross, or lie end to end.
        ([upright(0, 60), ((-30, 30, 0), (30, 30, 0))], [0, 0]),
        ([upright(0, 60), upright(60, 90)], [0, 0]),
    ],
)
def test_what_meets_is_counted_once(edges: list[tuple[Place, Place]], counted: list[float]) -> None:
    """The run with the smallest number has the stretch; whatever lies beside it is met there too."""
    found = runs(*edges)
    meet(found, SNAP_MM)
    assert lengths(found) == pytest.approx(counted, abs=SNAP_MM)
    shared = sum(float(np.linalg.norm(part[1] - part[0])) for run in found for part in run.shared)
    assert shared == pytest.approx(sum(counted), abs=SNAP_MM)


def test_edges_of_one_copy_do_not_meet() -> None:
    """Two edges of the same copy are its drawing's own matter."""
    found = [Run(0, np.array(upright(0, 60), dtype=float)) for _ in range(2)]
    meet(found, SNAP_MM)
    assert not any(run.met for run in found)


def test_a_run_goes_on_over_the_ends_of_pieces() -> None:
    """Three stretches on one line are one run, whichever way they are drawn; a corner ends it; short ones are none."""
    stretches = np.array(
        [[(0, 0), (0, 20)], [(0, 40), (0, 20)], [(0, 40), (0, 60)], [(0, 60), (50, 60)], [(50, 60), (50, 61)]]
    )
    found = straight_runs(stretches.astype(float))
    assert sorted(float(np.hypot(*(run[1] - run[0]))) for run in found) == pytest.approx([50, 60])
    assert straight_runs(np.empty((0, 2, 2))) == []


@pytest.mark.parametrize(
    ("edge", "apart"),
    [
        (upright(0, 60, 0.2), None),
        (upright(0, 60, 4.0), 4.0),
        (upright(0, 60, 9.0), None),
        # From a common end they part by 3 degrees: 60 tan 3.
        (((0, 0, 0), (60 * np.tan(np.radians(3)), 60, 0)), 60 * np.tan(np.radians(3))),
        (((0, 0, 0), (40, 60, 0)), None),
        # Beside each other for a short way only.
        (upright(50, 110, 3.0), None),
    ],
)
def test_what_nearly_meets(edge: tuple[Place, Place], apart: float | None) -> None:
    """Edges beside each other that do not meet are told with their distance; what turns away is not meant."""
    found = runs(upright(0, 60), edge)
    meet(found, SNAP_MM)
    gaps = list(gaps_between(found, SNAP_MM))
    assert [gap.apart_mm for gap in gaps] == ([] if apart is None else [pytest.approx(apart, rel=0.01)])
