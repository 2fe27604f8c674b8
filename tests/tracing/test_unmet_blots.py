"""Ink that no traced line runs through is told: a blot, and a narrow bay that the pen filled."""

from __future__ import annotations

import numpy as np
import pytest

from catalog_builder.tracing.unmet_blots import unmet_blots

# Ten pixels for each mm.
X, Y = np.meshgrid((np.arange(500) + 0.5) / 10, (np.arange(400) + 0.5) / 10)
TO_MM = np.diag([0.1, 0.1, 1.0])


@pytest.mark.parametrize(("middle", "told"), [(False, [(30, 20)]), (True, [])])
def test_a_blot_is_told_where_no_line_runs_through_it(middle: bool, told: list[tuple[float, float]]) -> None:
    """A line that stops where a blot as wide as three pens begins leaves it unmet; one through its middle does not."""
    ink = ((np.abs(Y - 20) < 1) & (X > 5) & (X < 30)) | (np.hypot(X - 30, Y - 20) < (1.6 if middle else 4))
    line = [np.linspace((5.0, 20.0), (30.0 if middle else 26.0, 20.0), 4)]
    findings = list(unmet_blots(ink, [line], TO_MM, 10.0, 2.0))
    assert [finding.at for finding in findings] == [pytest.approx(place, abs=0.5) for place in told]
    assert all(finding.doubt for finding in findings)


@pytest.mark.parametrize(("wide", "told"), [(1.6, 1), (0.0, 0)])
def test_a_bay_that_the_pen_filled_is_told(wide: float, told: int) -> None:
    """A level line of 2 mm with a bay so wide from middle to middle and 4 mm deep, traced straight past its mouth."""
    bay = (np.abs(X - 25) < (wide + 2) / 2) & (Y > 20) & (Y < 25)
    ink = ((np.abs(Y - 20) < 1) & (X > 5) & (X < 45)) | (bay & (wide > 0))
    line = [np.linspace((5.0, 20.0), (45.0, 20.0), 4)]
    findings = list(unmet_blots(ink, [line], TO_MM, 10.0, 2.0))
    assert [finding.kind for finding in findings] == ["blot"] * told
    assert all(finding.at is not None and abs(finding.at[0] - 25) < 1 and finding.at[1] > 21 for finding in findings)


def test_a_thin_stroke_beside_a_line_is_none() -> None:
    """The stroke of a digit that touches a line is thinner than the pen: no blot."""
    stroke = (np.abs(X - 25) < 0.6) & (Y > 20) & (Y < 27)
    ink = ((np.abs(Y - 20) < 1) & (X > 5) & (X < 45)) | stroke
    line = [np.linspace((5.0, 20.0), (45.0, 20.0), 4)]
    assert list(unmet_blots(ink, [line], TO_MM, 10.0, 2.0)) == []
