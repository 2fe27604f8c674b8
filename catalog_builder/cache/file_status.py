"""A file's stamp, which tells without reading it whether it changed; and since when it may have kept its stamp.

The coarsest clock of a common disk ticks every two seconds (FAT): within a tick a file can be written twice.
"""

from __future__ import annotations

import os
from pathlib import Path

TICK_NS = 2_000_000_000

# Size in bytes, dates of content and of entry in ns, number on its disk.
FileStatus = tuple[int, int, int, int]


def status_of(found: os.stat_result) -> FileStatus:
    """Give the stamp of what a disk says of a file."""
    return found.st_size, found.st_mtime_ns, found.st_ctime_ns, found.st_ino


def is_settled(stamp: FileStatus, settled: int) -> bool:
    """Tell whether a file was written before ``settled``, which is what ``settled_ns`` gives."""
    _, date, entry, _ = stamp
    return max(date, entry) < settled


def settled_ns(folder: Path) -> int:
    """Give the time in ns before which a file must have been written so that another write would show.

    It is the time as the disk of ``folder`` has it, which need not be the machine's; nothing is settled where it
    cannot be asked.
    """
    tick = folder / ".tick"
    try:
        tick.touch()
        return tick.stat().st_mtime_ns - TICK_NS
    except OSError:
        return -TICK_NS
