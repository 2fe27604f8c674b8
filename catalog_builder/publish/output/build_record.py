"""Records of what a build wrote: a list in each published folder, and file sizes and dates, to avoid reading again."""

from __future__ import annotations

import json
import stat
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

from catalog_builder.cache.atomic_file import try_replace_file
from catalog_builder.cache.store import program

MADE = ".made-by-catalog-builder.json"
# What reading a damaged list may raise.
_DAMAGED = (OSError, ValueError, TypeError, AttributeError, LookupError, ArithmeticError, RecursionError)


@dataclass(frozen=True, slots=True)
class FileRecord:
    """A published file as it was when it was last written or read: its digest, its size, and its date in ns.

    ``key`` is that of all that it was made from, empty where none is known. ``entry_ns`` is the date of its entry:
    the system sets it at every change, whatever date the file is given.
    """

    digest: str
    size: int
    date_ns: int
    key: str = ""
    entry_ns: int = 0

    @classmethod
    def of(cls, path: Path, digest: str, key: str = "") -> FileRecord:
        """Look at a file whose digest is known, and what it was made from."""
        status = path.stat()
        return cls(digest, status.st_size, status.st_mtime_ns, key, status.st_ctime_ns)

    def is_at(self, path: Path) -> bool:
        """True where a file has the size and dates that it had."""
        return replace(self, digest="", key="") == FileRecord.of(path, "")


def is_plain(path: Path) -> bool:
    """True for a regular file, not for a link to one: what a link leads to may change unnoticed.

    Raises:
        OSError: there is none.
    """
    return stat.S_ISREG(path.lstat().st_mode)


def write_made(folder: Path, files: Mapping[str, FileRecord]) -> None:
    """Write the list of a folder's files and their digests into it."""
    rows = {name: record.digest for name, record in sorted(files.items())}
    (folder / MADE).write_text(json.dumps(rows, indent=0, ensure_ascii=False) + "\n", encoding="utf-8")


def read_made(folder: Path) -> dict[str, str]:
    """Read the names and digests of the files that a build made; nothing where that is missing or damaged."""
    try:
        rows = json.loads((folder / MADE).read_text(encoding="utf-8"))
        # Earlier builds wrote down the names alone.
        return (
            dict.fromkeys(rows, "")
            if isinstance(rows, list)
            else {str(name): str(digest) for name, digest in rows.items()}
        )
    except _DAMAGED:
        return {}


def write_seen(path: Path, files: Mapping[str, FileRecord]) -> None:
    """Remember how files looked. Where nothing can be written, the memory from before stays, and costs time alone."""
    rows = {
        name: [record.digest, record.size, record.date_ns, record.key, record.entry_ns]
        for name, record in files.items()
    }
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
    try_replace_file(path, json.dumps({"program": program(), "files": rows}).encode())


def read_seen(path: Path) -> dict[str, FileRecord]:
    """Read how files looked; nothing where that is missing or damaged."""
    try:
        memory = json.loads(path.read_text(encoding="utf-8"))
        # What another version made from the same may be other than what this one would make.
        same = memory["program"] == program()
        return {
            str(name): FileRecord(str(row[0]), int(row[1]), int(row[2]), str(row[3]) if same else "", int(row[4]))
            for name, row in memory["files"].items()
        }
    except _DAMAGED:
        return {}
