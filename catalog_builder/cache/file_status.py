"""A file's status, which shows a change without reading the file; and from when on a change shows.

The coarsest clock of a common disk ticks every two seconds (FAT): within a tick a file can be written twice.
"""

from __future__ import annotations

import os
from pathlib import Path

TICK_NS = 2_000_000_000

# Size in bytes, dates of content and of entry in ns, number on its disk.
FileStatus = tuple[int, int, int, int]


def status_of(status: os.stat_result) -> FileStatus:
    """Give the parts of a file's status that change with it."""
    return status.st_size, status.st_mtime_ns, status.st_ctime_ns, status.st_ino


def is_settled(stamp: FileStatus, settled: int) -> bool:
    """Say whether a file was written before ``settled``, which is what ``settled_ns`` gives."""
    _, date, entry, _ = stamp
    return max(date, entry) < settled


def settled_ns(folder: Path) -> int:
    """Give the time in ns before which a file must have been written so that another write would show.

    It is the time of the disk of ``folder``, which need not be the machine's; where it cannot be read, no file counts
    as settled.
    """
    tick = folder / ".tick"
    try:
        tick.touch()
        return tick.stat().st_mtime_ns - TICK_NS
    except OSError:
        return -TICK_NS
