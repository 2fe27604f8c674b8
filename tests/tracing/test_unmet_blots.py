"""A blot of ink that no traced line runs through is told."""

from __future__ import annotations

import numpy as np
import pytest

from catalog_builder.tracing.unmet_blots import unmet_blots

# A line of 2 mm from the left to a disc of 8 mm about (30, 20), ten pixels for each mm.
X, Y = np.meshgrid((np.arange(500) + 0.5) / 10, (np.arange(400) + 0.5) / 10)
INK = ((np.abs(Y - 20) < 1) & (X > 5) & (X < 30)) | (np.hypot(X - 30, Y - 20) < 4)
TO_MM = np.diag([0.1, 0.1, 1.0])


@pytest.mark.parametrize(("end", "told"), [(26.0, [(32.4, 20)]), (34.0, [])])
def test_a_blot_is_told_where_no_line_runs_through_it(end: float, told: list[tuple[float, float]]) -> None:
    """A line that stops where the blot begins leaves it unmet; one that runs through it does not."""
    line = [np.linspace((5.0, 20.0), (end, 20.0), 4)]
    findings = list(unmet_blots(INK, [line], TO_MM, 10.0, 2.0))
    assert [finding.at for finding in findings] == [pytest.approx(place, abs=0.5) for place in told]
    assert all(finding.doubt for finding in findings)
