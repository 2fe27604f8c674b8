"""What is left of a folder that is done with: cleared away, or out of the way until it can be."""

from __future__ import annotations

import os
import secrets
import shutil
from contextlib import suppress
from pathlib import Path


def stands(path: Path) -> bool:
    """Say whether anything has this name, be it a link that leads nowhere."""
    return os.path.lexists(path)


def is_folder(path: Path) -> bool:
    """Say whether it is a folder itself, not a link to one."""
    return path.is_dir() and not path.is_symlink()


def clear(path: Path, aside: Path) -> None:
    """Remove whatever has a name; what cannot be removed now, such as a locked file, is moved to ``aside`` as it is.

    Raises:
        OSError: it can be neither removed nor moved.
    """
    _remove(path)
    if stands(path):
        aside.mkdir(parents=True, exist_ok=True)
        path.rename(aside / f"{path.name}-{secrets.token_hex(4)}")


def sweep(aside: Path) -> None:
    """Remove what was moved there, if by now it can be."""
    with suppress(OSError):
        for path in aside.iterdir():
            _remove(path)
        aside.rmdir()


def _remove(path: Path) -> None:
    if is_folder(path):
        shutil.rmtree(path, ignore_errors=True)
    else:
        with suppress(OSError):
            path.unlink(missing_ok=True)
