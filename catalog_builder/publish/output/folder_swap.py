"""Swapping two folders in one step, where the system can, so that at no moment is there none."""

from __future__ import annotations

import ctypes
import os
import sys
from pathlib import Path

_AT_FDCWD = -100
_SWAP = 2  # RENAME_EXCHANGE of Linux's renameat2(2), and RENAME_SWAP of macOS's renamex_np(2)


def swap_folders(first_path: Path, second_path: Path) -> bool:
    """Swap two paths of one disk in one step; False where the system cannot."""
    first, second = os.fsencode(first_path), os.fsencode(second_path)
    try:
        libc = ctypes.CDLL(None, use_errno=True)
        if sys.platform == "darwin":
            return int(libc.renamex_np(first, second, ctypes.c_uint(_SWAP))) == 0
        if sys.platform.startswith("linux"):
            return int(libc.renameat2(_AT_FDCWD, first, _AT_FDCWD, second, ctypes.c_uint(_SWAP))) == 0
    except (OSError, AttributeError, TypeError):
        pass
    return False
