"""What a build made, and whether it still stands: nothing that it was made from, and nothing of it, has changed.

This is asked before anything large is loaded.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path
from typing import Any

from catalog_builder.cache.atomic_file import CACHE_FOLDER, digest_of, try_replace_file
from catalog_builder.cache.file_status import FileStatus, is_settled, settled_ns, status_of
from catalog_builder.mistake import Place, WordedFinding

AUDIENCES = ("catalogue", "stall", "bench")
_PACKAGE = Path(__file__).resolve().parent.parent


@dataclass(frozen=True, slots=True)
class BuildSummary:
    """What a build made, counted; and files of the maker's own that were carried over."""

    products: int
    variants: int
    pages: int
    photos: int
    prices: int
    findings: tuple[WordedFinding, ...]
    carried_over: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class InputSnapshot:
    """The stamps of all files that a build is made from. ``fresh`` has the digests of those just written."""

    stamps: dict[str, FileStatus]
    fresh: dict[str, str]


def snapshot_inputs(project: Path) -> InputSnapshot:
    """Look at every file of a project, of the themes and of the program."""
    stamps = {path: stamp for root in _roots(project) for path, stamp in _files(root)}
    # What is installed beside the program decides what it makes; a folder's date moves with what comes and goes in it.
    libraries = (Path(path) for path in sys.path if path.endswith("-packages"))
    stamps |= {str(path): status_of(path.stat()) for path in libraries if path.is_dir()}
    settled = settled_ns(_kept(project))
    return InputSnapshot(
        stamps, {path: _digest(path) for path, stamp in stamps.items() if not is_settled(stamp, settled)}
    )


def write_state(project: Path, day: date, seen: InputSnapshot, published: BuildSummary) -> None:
    """Write down what a build made, and how all looked that it was made from and that it made."""
    now = snapshot_inputs(project)
    if now.stamps != seen.stamps or any(_digest(path) != digest for path, digest in seen.fresh.items()):
        return  # something was edited meanwhile: the next build will see to it
    told = {
        "day": day.isoformat(),
        "inputs": seen.stamps,
        "fresh": seen.fresh,
        "outputs": _outputs(project),
        "published": asdict(published),
    }
    data = json.dumps(told).encode()
    try_replace_file(_kept(project) / "standing.json", digest_of(data).encode() + data)


def standing_build(project: Path, day: date) -> BuildSummary | None:
    """Give what the last build made if all of it still stands; None where there is anything to do."""
    try:
        data = (_kept(project) / "standing.json").read_bytes()
        check, data = data[:64], data[64:]
        if digest_of(data).encode() != check:
            return None
        told = json.loads(data)
        inputs = {path: tuple(stamp) for path, stamp in told["inputs"].items()}
        if told["day"] != day.isoformat() or snapshot_inputs(project).stamps != inputs:
            return None
        if any(_digest(path) != digest for path, digest in told["fresh"].items()):
            return None
        outputs = {path: tuple(stamp) for path, stamp in told["outputs"].items()}
        return _published(told["published"]) if _outputs(project) == outputs else None
    except (OSError, ValueError, TypeError, AttributeError, LookupError):
        return None


def _published(told: dict[str, Any]) -> BuildSummary:
    findings = tuple(WordedFinding(**{**one, "place": Place(**one["place"])}) for one in told.pop("findings"))
    return BuildSummary(findings=findings, carried_over=tuple(told.pop("carried_over")), **told)


def _kept(project: Path) -> Path:
    return project / "site_output" / CACHE_FOLDER


def _roots(project: Path) -> tuple[str, ...]:
    own = str(_PACKAGE.parent / "themes")
    return tuple(dict.fromkeys((str(project / "content"), str(project / "themes"), str(_PACKAGE), own)))


def _outputs(project: Path) -> dict[str, tuple[int, int, int]]:
    """Give size and dates of every file that stands published."""
    folders = (str(project / "site_output" / name) for name in AUDIENCES)
    return {path: stamp[:3] for folder in folders for path, stamp in _files(folder)}


def _files(folder: str) -> Iterator[tuple[str, FileStatus]]:
    """Give every file below a folder with how it looks; where there is no folder, or a closed one, none."""
    try:
        entries = list(os.scandir(folder))
    except OSError:
        return
    for entry in entries:
        if entry.is_dir(follow_symlinks=False):
            if entry.name != "__pycache__":
                yield from _files(entry.path)
        else:
            with suppress(OSError):  # an editor's file that has come and gone
                yield entry.path, status_of(entry.stat(follow_symlinks=False))


def _digest(path: str) -> str:
    try:
        return digest_of(Path(path).read_bytes())
    except OSError:
        return ""
