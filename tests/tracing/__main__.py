"""Trace drawings whose truth is known: ``python -m tests.tracing 24 --kind scan --seeds check``.

Makes as many pictures of each kind as said, traces each, matches every piece, and prints a table. ``--keep FOLDER``
keeps the pictures, their truth and the traces, and takes the pictures from there in the next run; ``--results FILE``
keeps what came out, and a run that was broken off goes on from there. ``--seeds dev`` has other designs and seeds than
``check``, which the tracer was not developed on. Ends with 1 where a kind misses its aim.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np

from tests.tracing.kept_trials import keep_trial, kept_trials
from tests.tracing.pictures.drawn_kinds import KINDS, make_shot
from tests.tracing.pictures.shots import kept_shot, name_of
from tests.tracing.tally import as_markdown, row
from tests.tracing.trial import Trial, try_one


def main() -> int:
    """Try as the command line says."""
    parser = argparse.ArgumentParser(prog="python -m tests.tracing")
    parser.add_argument("count", type=int, help="pictures of each kind")
    parser.add_argument("--kind", action="append", choices=list(KINDS), help="only this kind; may be given again")
    parser.add_argument("--seeds", choices=["dev", "check"], default="dev")
    parser.add_argument("--first", type=int, default=0, help="the number of the first picture")
    parser.add_argument("--keep", type=Path, help="where pictures and traces are kept")
    parser.add_argument("--results", type=Path, help="a file of results: those that it holds are not tried again")
    parser.add_argument("--pictures", action="store_true", help="make the pictures and trace none")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as spare:
        return _tried(asked, asked.keep or Path(spare))


def _tried(asked: argparse.Namespace, folder: Path) -> int:
    rows, missed = [], 0
    known = kept_trials(asked.results) if asked.results else {}
    for kind in asked.kind or KINDS:
        numbers = range(asked.first, asked.first + asked.count)
        if asked.pictures:
            for number in numbers:
                if kept_shot(folder, kind, number, asked.seeds) is None:
                    make_shot(kind, number, asked.seeds).save(folder)
            continue
        trials = _trials(kind, numbers, asked, known, folder)
        for trial in trials:
            _tell(trial)
        rows.append(row(kind, trials))
        _say(" | ".join(rows[-1]))
        missed += not _is_reached(kind, trials)
    if rows:
        _say(f"\n{as_markdown(rows)}")
        _say(f"\n{missed} of {len(rows)} kinds miss their aim; seeds {asked.seeds}, from {asked.first}")
    return int(missed > 0)


def _trials(
    kind: str, numbers: range, asked: argparse.Namespace, known: Mapping[str, Trial], folder: Path
) -> list[Trial]:
    """Try the pictures of a kind that are not known yet."""
    names = {number: name_of(kind, number, asked.seeds) for number in numbers}
    new = [number for number in numbers if names[number] not in known]
    tried = {}
    with ThreadPoolExecutor(asked.workers) as pool:
        for trial in pool.map(lambda number: try_one(kind, number, asked.seeds, folder), new):
            tried[trial.name] = trial
            if asked.results:
                keep_trial(trial, asked.results)
    return [{**known, **tried}[name] for name in names.values()]


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _tell(trial: Trial) -> None:
    aim, result = KINDS[trial.kind], trial.match
    off = trial.is_right and (result.borders.max() > aim.borders or result.width > aim.width)
    if trial.is_right and not trial.doubts and not off:
        return
    state = "off" if off else "doubted" if trial.is_right else "WRONG, told" if trial.doubts else "WRONG, IN SILENCE"
    worst = f"borders {result.borders.max():.2f} %, width {result.width:.2f} %" if off else ""
    _say(f"  {state:<17} {trial.name} ({trial.design}): {worst}{'; '.join(result.amiss)}")
    for doubt in trial.doubts[:4]:
        _say(f"      it doubts {doubt}")


def _is_reached(kind: str, trials: list[Trial]) -> bool:
    aim = KINDS[kind]
    right = [trial for trial in trials if trial.is_right]
    return (
        len(right) * 100 >= aim.right * len(trials)
        and max((trial.match.borders.max() for trial in right), default=np.inf) <= aim.borders
        and max((trial.match.width for trial in right), default=np.inf) <= aim.width
        and all(trial.doubts for trial in trials if not trial.is_right)
        and sum(1 for trial in right if trial.doubts) * 10 <= len(right)
    )


if __name__ == "__main__":
    sys.exit(main())
