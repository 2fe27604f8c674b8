"""The digests of files that a build is made from, so that a file is read again only when it changed."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

from catalog_builder.cache.atomic_file import digest_of, try_replace_file
from catalog_builder.cache.file_status import FileStatus, is_settled, settled_ns, status_of

# A file's status when it was read, and its digest.
Known = tuple[FileStatus, str]


class FileDigests:
    """Digests by path, stored in a file of their own. If it is lost or damaged, files are read again."""

    def __init__(self, memory: Path) -> None:
        self.memory = memory
        self._before = _remembered(memory)
        self._now: dict[str, Known] = {}

    def known(self, path: Path) -> str | None:
        """Give the digest of a file that is as it was when it was last read; None where it may have changed."""
        stamp, known = _stamp(path), self._now.get(str(path)) or self._before.get(str(path))
        if stamp is None or known is None or known[0] != stamp:
            return None
        self._now[str(path)] = known
        return known[1]

    def read(self, path: Path, read: Callable[[Path], bytes] = Path.read_bytes) -> tuple[bytes, str]:
        """Read a file, and give its bytes and their digest.

        Raises:
            OSError: the file cannot be read, or what ``read`` raises.
        """
        before = _stamp(path)
        data = read(path)
        digest, after = digest_of(data), _stamp(path)
        # A file that is being changed, was just written, or has a date in the future may change without a new status.
        if after is not None and after == before and is_settled(after, settled_ns(self.memory.parent)):
            self._now[str(path)] = after, digest
        return data, digest

    def remember(self) -> None:
        """Store the digests that were used in this run, and drop the rest."""
        if self._now == self._before:
            return
        rows = {path: (*stamp, digest) for path, (stamp, digest) in self._now.items()}
        try_replace_file(self.memory, json.dumps(rows).encode())


def _stamp(path: Path) -> FileStatus | None:
    try:
        return status_of(path.stat())
    except OSError:
        return None


def _remembered(memory: Path) -> dict[str, Known]:
    try:
        rows = json.loads(memory.read_text(encoding="utf-8"))
        return {
            str(path): ((int(row[0]), int(row[1]), int(row[2]), int(row[3])), str(row[4])) for path, row in rows.items()
        }
    except (OSError, ValueError, TypeError, AttributeError, LookupError, ArithmeticError, RecursionError):
        return {}
