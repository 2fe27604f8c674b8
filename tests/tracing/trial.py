"""A picture made, traced in a process of its own and matched with its truth."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tests.tracing.matching import Match, match
from tests.tracing.pictures.drawn_kinds import make_shot
from tests.tracing.pictures.shots import kept_shot

PATIENCE_S = 120


@dataclass(frozen=True, slots=True)
class Trial:
    """One picture's outcome: its match, the doubts that the tracer told, processor seconds, and memory in MB.

    ``name`` is that of the picture, ``design`` that of what is drawn in it.
    """

    kind: str
    name: str
    design: str
    match: Match
    doubts: tuple[str, ...]
    seconds: float
    memory_mb: float

    @property
    def is_right(self) -> bool:
        """Whether every piece was traced."""
        return self.match.is_right


def try_one(kind: str, number: int, family: str, folder: Path) -> Trial:
    """Make a picture, or take the one that is kept in the folder, and trace it."""
    shot = kept_shot(folder, kind, number, family)
    if shot is None:
        shot = make_shot(kind, number, family)
        shot.save(folder)
    picture, target = folder / f"{shot.name}{shot.suffix}", folder / f"{shot.name}.svg"
    target.unlink(missing_ok=True)
    words = [word for name, value in shot.options.items() for word in (f"--{name}", value)]
    command = (sys.executable, "-m", "tests.tracing.tracer_run", str(picture), str(target), *words)
    one_core = {**os.environ, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=one_core)
    stdout, stderr = process.stdout, process.stderr
    assert stdout is not None
    assert stderr is not None
    guard = threading.Timer(PATIENCE_S, process.kill)
    guard.start()
    errors: list[str] = []
    listener = threading.Thread(target=lambda: errors.append(stderr.read()))
    listener.start()
    said = stdout.read()
    listener.join()
    _, status, used = os.wait4(process.pid, 0)
    guard.cancel()
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in (0, 3):
        said = json.dumps([[[False, "failed", errors[0].strip()[-400:]]], 0])
    findings, peak_mb = json.loads(said)
    doubts = tuple(f"{kind}: {text}" for doubt, kind, text in findings if doubt)
    if target.is_file():
        result = match(shot.truth, target.read_text(encoding="utf-8"))
    else:
        reason = "; ".join(f"{kind}: {text}" for _, kind, text in findings)
        result = Match(len(shot.truth.pieces), 0, np.zeros(0), 100.0, 100.0, (reason,))
    return Trial(kind, shot.name, shot.truth.name, result, doubts, used.ru_utime + used.ru_stime, peak_mb)
