"""The clock of a disk: since when a file may have changed and look the same.

The coarsest clock of a common disk ticks every two seconds (FAT): within a tick a file can be written twice.
"""

from __future__ import annotations

from pathlib import Path

TICK_NS = 2_000_000_000


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
