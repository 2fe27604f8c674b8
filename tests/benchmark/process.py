"""A command in a process of its own: its wall time, and the most memory that it and its children held together."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from threading import Event, Thread

ROOT = Path(__file__).resolve().parents[2]
PROC = Path("/proc")
BETWEEN_LOOKS_S = 0.25


@dataclass(frozen=True, slots=True)
class Run:
    """What a command took, and what it printed. ``peak_mib`` is 0 where nobody watched, or nothing can be asked.

    ``processor_s`` is the processor time of the command and its children together.
    """

    seconds: float
    processor_s: float
    peak_mib: float
    told: str


class CommandError(RuntimeError):
    """A command that was to be measured failed; its text is what it told."""


def python(*arguments: str, watched: bool = False) -> Run:
    """Run a fresh Python at the repository's root.

    Raises:
        CommandError: it ended with another code than 0.
    """
    start, worked = time.perf_counter(), _children_s()
    # As an installed program runs: what Python has compiled once is kept.
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    process = subprocess.Popen(
        (sys.executable, *arguments), cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=kept
    )
    watch = Watch(process.pid) if watched else None
    told, wrong = process.communicate()
    took = time.perf_counter() - start
    peak = watch.ended() if watch else 0.0
    if process.returncode:
        raise CommandError(f"{' '.join(arguments)}\n{told[-2000:]}{wrong[-2000:]}")
    return Run(took, _children_s() - worked, peak, told)


def _children_s() -> float:
    """Give the processor time of all children that have ended; 0 on a system that does not count it."""
    spent = os.times()
    return spent.children_user + spent.children_system


class Watch:
    """Looks at a process and its children every quarter of a second until it is told that they ended.

    Memory that several of them share counts once (Linux's proportional set size); the high-water mark of each
    single process makes sure that a short peak is not missed.
    """

    def __init__(self, pid: int) -> None:
        self._pid, self._peak_kib, self._over = pid, 0, Event()
        self._thread = Thread(target=self._look, daemon=True)
        self._thread.start()

    def ended(self) -> float:
        """Give the most that was seen, in MiB."""
        self._over.set()
        self._thread.join()
        return self._peak_kib / 1024

    def _look(self) -> None:
        while not self._over.wait(BETWEEN_LOOKS_S):
            family = _family(self._pid)
            together = sum(_kib(PROC / str(pid) / "smaps_rollup", "Pss:") for pid in family)
            alone = max((_kib(PROC / str(pid) / "status", "VmHWM:") for pid in family), default=0)
            self._peak_kib = max(self._peak_kib, together, alone)


def _family(pid: int) -> set[int]:
    """Give a process and all that descend from it."""
    parents = {}
    for path in PROC.glob("[0-9]*/stat"):
        try:
            parents[int(path.parent.name)] = int(path.read_text().rpartition(")")[2].split()[1])
        except (OSError, IndexError):
            continue
    family, grown = {pid}, True
    while grown:
        more = {child for child, parent in parents.items() if parent in family} - family
        family |= more
        grown = bool(more)
    return family


def _kib(path: Path, what: str) -> int:
    try:
        lines = path.read_text().splitlines()
    except OSError:
        return 0
    return next((int(line.split()[1]) for line in lines if line.startswith(what)), 0)
