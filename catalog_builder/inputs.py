"""The digests of files that a build is made from, remembered, so that a file is read again only when it changed."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from dataclasses import astuple, dataclass
from pathlib import Path

from catalog_builder.memory import digest_of, lay_by
from catalog_builder.tick import settled_ns


@dataclass(frozen=True, slots=True)
class Look:
    """How a file stood when its digest was taken: size, dates of its content and of its entry in ns, number, digest."""

    size: int
    date_ns: int
    entry_ns: int
    number: int
    digest: str


class Inputs:
    """Digests by path, remembered in a file of their own. A memory that is lost or damaged costs time alone."""

    def __init__(self, memory: Path) -> None:
        self.memory = memory
        self._before = _remembered(memory)
        self._now: dict[str, Look] = {}

    def known(self, path: Path) -> str | None:
        """Give the digest of a file that stands as it did when it was last read; None where it may have changed."""
        found, look = _stat(path), self._now.get(str(path)) or self._before.get(str(path))
        if found is None or look is None or look != _look(found, look.digest):
            return None
        self._now[str(path)] = look
        return look.digest

    def read(self, path: Path, read: Callable[[Path], bytes] = Path.read_bytes) -> tuple[bytes, str]:
        """Read a file, and give its bytes and their digest.

        Raises:
            OSError: the file cannot be read, or what ``read`` raises.
        """
        before = _stat(path)
        data = read(path)
        digest, after = digest_of(data), _stat(path)
        if before is None or after is None or _look(before, digest) != _look(after, digest):
            return data, digest  # it is being changed
        # One that has just been written, or that dates from times to come, may change again and look the same.
        if max(after.st_mtime_ns, after.st_ctime_ns) < settled_ns(self.memory.parent):
            self._now[str(path)] = _look(after, digest)
        return data, digest

    def remember(self) -> None:
        """Write down what was looked at in this run, and forget the rest."""
        if self._now == self._before:
            return
        rows = {path: astuple(look) for path, look in self._now.items()}
        lay_by(self.memory, json.dumps(rows).encode())


def _stat(path: Path) -> os.stat_result | None:
    try:
        return path.stat()
    except OSError:
        return None


def _look(found: os.stat_result, digest: str) -> Look:
    return Look(found.st_size, found.st_mtime_ns, found.st_ctime_ns, found.st_ino, digest)


def _remembered(memory: Path) -> dict[str, Look]:
    try:
        rows = json.loads(memory.read_text(encoding="utf-8"))
        return {
            str(path): Look(int(row[0]), int(row[1]), int(row[2]), int(row[3]), str(row[4]))
            for path, row in rows.items()
        }
    except (OSError, ValueError, TypeError, AttributeError, LookupError, ArithmeticError, RecursionError):
        return {}
