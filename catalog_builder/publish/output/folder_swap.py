"""Two folders put in each other's place at once, where the system can: at no moment is there none."""

from __future__ import annotations

import ctypes
import os
import sys
from pathlib import Path

_AT_FDCWD = -100
_SWAP = 2  # RENAME_EXCHANGE of Linux's renameat2(2), and RENAME_SWAP of macOS's renamex_np(2)


def swap_folders(one: Path, other: Path) -> bool:
    """Exchange two paths of one disk in one step, and say whether it was done."""
    first, second = os.fsencode(one), os.fsencode(other)
    try:
        libc = ctypes.CDLL(None, use_errno=True)
        if sys.platform == "darwin":
            return int(libc.renamex_np(first, second, ctypes.c_uint(_SWAP))) == 0
        if sys.platform.startswith("linux"):
            return int(libc.renameat2(_AT_FDCWD, first, _AT_FDCWD, second, ctypes.c_uint(_SWAP))) == 0
    except (OSError, AttributeError, TypeError):
        pass
    return False
