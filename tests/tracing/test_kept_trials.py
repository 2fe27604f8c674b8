"""A trial that is kept in a file comes back as it was."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np

from tests.tracing.kept_trials import keep_trial, kept_trials
from tests.tracing.matching import Match
from tests.tracing.tally import row
from tests.tracing.trial import Trial

TRIAL = Trial(
    "scan", "scan-check-000", "bell", Match(2, 2, np.array([0.1, 0.25]), 0.2, 0.1, ()), ("fold: x",), 1.5, 250
)


def test_trials_come_back_from_their_file(tmp_path: Path) -> None:
    """Two trials give the same row of the table before and after."""
    trials = [TRIAL, replace(TRIAL, name="scan-check-001", seconds=2.5)]
    for trial in trials:
        keep_trial(trial, tmp_path / "results")
    kept = kept_trials(tmp_path / "results")
    assert list(kept) == ["scan-check-000", "scan-check-001"]
    assert row("scan", list(kept.values())) == row("scan", trials)


def test_no_file_holds_no_trials(tmp_path: Path) -> None:
    """A first run begins with none."""
    assert kept_trials(tmp_path / "results") == {}
