"""Trials that were made before, a line of JSON each in a file, so that a long run can be made in portions."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np

from tests.tracing.matching import Match
from tests.tracing.trial import Trial


def keep_trial(trial: Trial, file: Path) -> None:
    """Write a trial at the end of a file."""
    values: dict[str, Any] = asdict(trial)
    values["match"]["borders"] = np.round(trial.match.borders, 4).tolist()
    with file.open("a", encoding="utf-8") as lines:
        lines.write(f"{json.dumps(values)}\n")


def kept_trials(file: Path) -> dict[str, Trial]:
    """Give the trials that a file holds, by the names of their pictures; none where there is no file."""
    if not file.is_file():
        return {}
    rows = [json.loads(line) for line in file.read_text(encoding="utf-8").splitlines()]
    return {row["name"]: _trial(row) for row in rows}


def _trial(row: dict[str, Any]) -> Trial:
    match = {**row["match"], "borders": np.array(row["match"]["borders"]), "amiss": tuple(row["match"]["amiss"])}
    return Trial(**{**row, "match": Match(**match), "doubts": tuple(row["doubts"])})
