"""Rebuilds after edits, each held against a build from nothing, byte for byte."""

from __future__ import annotations

import difflib
import re
import shutil
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from random import Random

from click.testing import CliRunner

from catalog_builder.build import build
from catalog_builder.cli import main
from catalog_builder.mistake import MistakeError
from catalog_builder.publish.studio_calculation import quiet
from tests.edits.kinds import KINDS
from tests.edits.studio import NothingToEditError, Studio, lay_studio
from tests.fresh_process import run_fresh
from tests.publish.demo import bytes_of

# Pictures of faulty drawings: a refused build draws them, the next good one clears them away.
_FAULTS = "bench/faults/"
_FINDING = re.compile(r"^[A-Z]\d\d .*\n.*$", re.MULTILINE)
_INPUTS = ("content", "themes")


@dataclass(frozen=True, slots=True)
class Told:
    """How a build ended: its code, its mistakes and its findings."""

    code: int
    mistakes: str
    findings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Step:
    """An edit, what came of it, and the seconds of the rebuild and of the build from nothing."""

    kind: str
    edited: str
    in_one_process: bool
    refused: bool
    difference: str
    rebuild_s: float
    clean_s: float


def by_command(studio: Studio, workers: int = 2) -> Told:
    """Publish in a process of its own, as the maker does."""
    options = ["--folder", str(studio.project), "--day", studio.day.isoformat(), "--workers", str(workers)]
    done = run_fresh("publish", *options)
    if done.code not in (0, 1) or "Traceback" in done.errors:
        raise AssertionError(f"the build ended with {done.code}:\n{done.errors}")
    return Told(done.code, done.errors, tuple(_FINDING.findall(done.output)))


def by_command_here(studio: Studio, workers: int = 2) -> Told:
    """Publish by the same command in this process, whose libraries are loaded."""
    options = ["--folder", str(studio.project), "--day", studio.day.isoformat(), "--workers", str(workers)]
    done = CliRunner().invoke(main, ["publish", *options])
    if done.exit_code not in (0, 1):
        raise AssertionError(f"the build ended with {done.exit_code}:\n{done.stderr}") from done.exception
    return Told(done.exit_code, done.stderr, tuple(_FINDING.findall(done.stdout)))


def in_one_process(studio: Studio) -> Told:
    """Publish in this process, after all that it built before, as the window does."""
    try:
        published = build(studio.project, studio.day, 2, quiet)
    except MistakeError as fault:
        return Told(1, str(fault), ())
    return Told(0, "", tuple(finding.worded() for finding in published.findings))


def published(project: Path) -> dict[str, bytes]:
    """Every file in ``site_output`` but what builds keep for the next one."""
    files = bytes_of(project / "site_output")
    return {name: data for name, data in files.items() if not name.startswith(".kept/")}


def rebuild(root: Path, kinds: Iterator[str], count: int, chance: Random) -> Iterator[Step]:
    """Make edits in a small studio, rebuild after each, and give what came of it; ends at the first difference."""
    studio = lay_studio(root / "studio")
    first = by_command(studio)
    assert first.code == 0, first.mistakes
    clean, _ = _from_nothing(studio, root / "clean")
    assert published(studio.project) == clean
    for step in islice(_steps(studio, root, kinds, chance), count):
        yield step
        if step.difference:
            return


def _steps(studio: Studio, root: Path, kinds: Iterator[str], chance: Random) -> Iterator[Step]:
    for kind in kinds:
        day = studio.day
        _copy(studio.project, root / "before", *_INPUTS)
        try:
            edited = KINDS[kind](studio, chance)
        except NothingToEditError:
            continue
        before = published(studio.project)
        here, begun = chance.random() < 0.5, time.monotonic()
        told = in_one_process(studio) if here else by_command(studio, chance.choice([1, 2]))
        rebuild_s, begun = time.monotonic() - begun, time.monotonic()
        clean, right = _from_nothing(studio, root / "clean", by_command if here else by_command_here)
        clean_s = time.monotonic() - begun
        found, wanted = published(studio.project), before if right.code else clean
        if right.code:
            found = {name: data for name, data in found.items() if not name.startswith(_FAULTS)}
        difference = compared(told, right, here) or first_difference(found, wanted)
        yield Step(kind, edited, here, right.code != 0, difference, rebuild_s, clean_s)
        if right.code:
            studio.day = day
            for name in _INPUTS:
                shutil.rmtree(studio.project / name)
            _copy(root / "before", studio.project, *_INPUTS)


def compared(told: Told, right: Told, here: bool) -> str:
    """Say how a build's words differ from those of a build from nothing; empty where they do not."""
    if told.code != right.code:
        return f"the rebuild ended with {told.code}, a build from nothing with {right.code}\n{told}\n{right}"
    if told.findings != right.findings:
        return "other findings:\n" + "\n".join(difflib.unified_diff(right.findings, told.findings, lineterm=""))
    # In one process the closing sentence of the command is left out.
    same = right.mistakes.startswith(told.mistakes) if here else right.mistakes == told.mistakes
    return "" if same else f"other mistakes:\n{told.mistakes}\n{right.mistakes}"


def first_difference(found: dict[str, bytes], wanted: dict[str, bytes]) -> str:
    """Show in full the first file that is not as it should be; empty where all are."""
    for name in sorted(found.keys() | wanted.keys()):
        if name not in found:
            return f"{name} is missing"
        if name not in wanted:
            return f"{name} is left over"
        if found[name] != wanted[name]:
            return f"{name} is other than in a build from nothing:\n{_apart(found[name], wanted[name])}"
    return ""


def _apart(found: bytes, wanted: bytes) -> str:
    try:
        right, other = (data.decode("utf-8").splitlines() for data in (wanted, found))
    except UnicodeDecodeError:
        at = next((at for at, (a, b) in enumerate(zip(found, wanted, strict=False)) if a != b), None)
        return f"{len(found)} bytes where {len(wanted)} are right, the first that differs at {at}"
    return "\n".join(difflib.unified_diff(right, other, "right", "found", lineterm="", n=1))


def _from_nothing(
    studio: Studio, folder: Path, publish: Callable[[Studio], Told] = by_command
) -> tuple[dict[str, bytes], Told]:
    """Build a copy of the maker's files where nothing was built before.

    Of a rebuild and a build from nothing, one is always made in a process of its own: what a process remembers from
    earlier builds cannot spoil both alike.
    """
    shutil.rmtree(folder, ignore_errors=True)
    _copy(studio.project, folder, *_INPUTS)
    told = publish(Studio(folder, studio.day))
    return published(folder) if told.code == 0 else {}, told


def _copy(source: Path, target: Path, *names: str) -> None:
    for name in names:
        shutil.rmtree(target / name, ignore_errors=True)
        shutil.copytree(source / name, target / name)
