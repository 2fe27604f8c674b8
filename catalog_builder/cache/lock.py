"""A lock that one process holds at a time. The system releases it with the process: a killed one blocks nobody."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from filelock import FileLock, Timeout


class LockedError(OSError):
    """Another process holds the lock."""


@contextmanager
def exclusive(path: Path) -> Iterator[None]:
    """Hold the lock of a file while the block runs. A process that holds it already may take it again.

    The file stays: only the system's lock on it counts.

    Raises:
        LockedError: another process holds the lock.
        OSError: the file cannot be made.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    lock = FileLock(path, timeout=0, is_singleton=True, thread_local=False)
    try:
        lock.acquire()
    except Timeout:
        raise LockedError(errno.EBUSY, "another process holds the lock", str(path)) from None
    try:
        yield
    finally:
        lock.release()
