"""The state after a build: what it made, and whether any of its inputs or outputs has changed since.

The state is compared before any large library is loaded.
"""

from __future__ import annotations

import json
import os
import stat
import sys
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass
from datetime import date
from hashlib import blake2b, file_digest
from pathlib import Path
from typing import Any

from catalog_builder.cache.atomic_file import CACHE_FOLDER, DIGEST_BYTES, digest_of, try_replace_file
from catalog_builder.cache.file_status import FileStatus, is_settled, settled_ns, status_of
from catalog_builder.mistake import Place, WordedFinding

AUDIENCES = ("catalogue", "stall", "bench")
STATE_FILE = "last_build.json"
JOURNAL = "places.json"
# The largest file that a build reads is a photo of this size.
MOST_READ_BYTES = 200_000_000
_PACKAGE = Path(__file__).resolve().parent.parent


@dataclass(frozen=True, slots=True)
class BuildSummary:
    """Counts of what a build made, its findings, and files of the maker's own that were carried over."""

    products: int
    variants: int
    pages: int
    photos: int
    prices: int
    findings: tuple[WordedFinding, ...]
    carried_over: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class InputSnapshot:
    """The status of all files that a build is made from. ``fresh`` has the digests of those just written."""

    stamps: dict[str, FileStatus]
    fresh: dict[str, str]


def snapshot_inputs(project: Path) -> InputSnapshot:
    """Give the status of every file of a project, of the themes and of the program."""
    stamps = _stamps(project)
    settled = settled_ns(_folder(project))
    return InputSnapshot(
        stamps, {path: _digest(path) for path, stamp in stamps.items() if not is_settled(stamp, settled)}
    )


def write_state(project: Path, day: date, inputs: InputSnapshot, published: BuildSummary) -> None:
    """Write what a build made, with the status of its inputs and outputs."""
    now = snapshot_inputs(project)
    if now.stamps != inputs.stamps or any(_digest(path) != digest for path, digest in inputs.fresh.items()):
        return  # something was edited meanwhile, so that the next build must run
    state = {
        "day": day.isoformat(),
        "inputs": _digest_of(inputs.stamps),
        "fresh": inputs.fresh,
        "outputs": _digest_of(_outputs(project)),
        "published": asdict(published),
    }
    data = json.dumps(state).encode()
    try_replace_file(_folder(project) / STATE_FILE, digest_of(data).encode() + data)


def unchanged_build(project: Path, day: date) -> BuildSummary | None:
    """Give the summary of the last build if another one would make the same; None if there is anything to do."""
    try:
        data = (_folder(project) / STATE_FILE).read_bytes()
        check, data = data[:64], data[64:]
        if digest_of(data).encode() != check:
            return None
        state = json.loads(data)
        if state["day"] != day.isoformat() or _digest_of(_stamps(project)) != state["inputs"]:
            return None
        if any(_digest(path) != digest for path, digest in state["fresh"].items()):
            return None
        return _summary(state["published"]) if _digest_of(_outputs(project)) == state["outputs"] else None
    except (OSError, ValueError, TypeError, AttributeError, LookupError):
        return None


def _summary(values: dict[str, Any]) -> BuildSummary:
    findings = tuple(
        WordedFinding(**{**finding, "place": Place(**finding["place"])}) for finding in values.pop("findings")
    )
    return BuildSummary(findings=findings, carried_over=tuple(values.pop("carried_over")), **values)


def _folder(project: Path) -> Path:
    return project / "site_output" / CACHE_FOLDER


def _roots(project: Path) -> tuple[str, ...]:
    own = str(_PACKAGE.parent / "themes")
    return tuple(dict.fromkeys((str(project / "content"), str(project / "themes"), str(_PACKAGE), own)))


def _stamps(project: Path) -> dict[str, FileStatus]:
    stamps = {path: stamp for root in _roots(project) for path, stamp in _files(root)}
    # Installed libraries decide the output too; a folder's date changes when one is installed or taken out.
    libraries = (Path(path) for path in sys.path if path.endswith("-packages"))
    return stamps | {str(path): status_of(path.stat()) for path in libraries if path.is_dir()}


def _digest_of(stamps: Mapping[str, tuple[int, ...]]) -> str:
    """Give one digest of the status of many files: soon compared, where a list of thousands is long in being read."""
    return digest_of(repr(sorted(stamps.items())).encode("utf-8", "surrogatepass"))


def _outputs(project: Path) -> dict[str, tuple[int, int, int]]:
    """Give size and dates of every published file."""
    folders = (str(project / "site_output" / name) for name in AUDIENCES)
    return {path: stamp[:3] for folder in folders for path, stamp in _files(folder)}


def _files(folder: str) -> Iterator[tuple[str, FileStatus]]:
    """Give every file below a folder with its status; none where there is no folder, or a closed one."""
    try:
        entries = list(os.scandir(folder))
    except OSError:
        return
    for entry in entries:
        if entry.is_dir(follow_symlinks=False):
            if entry.name != "__pycache__":
                yield from _files(entry.path)
        else:
            with suppress(OSError):  # an editor's file that is gone again
                yield entry.path, status_of(entry.stat(follow_symlinks=False))


def _digest(path: str) -> str:
    """Give the digest of a file; an empty one for what no build reads: a pipe, a device, a link, a film."""
    try:
        status = os.lstat(path)
        if not stat.S_ISREG(status.st_mode) or status.st_size > MOST_READ_BYTES:
            return ""
        with Path(path).open("rb") as file:
            return file_digest(file, lambda: blake2b(digest_size=DIGEST_BYTES)).hexdigest()
    except OSError:
        return ""
