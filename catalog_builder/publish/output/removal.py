"""Removing folders that are no longer used; what cannot be removed is moved away for a later build to remove."""

from __future__ import annotations

import os
import secrets
import shutil
import stat
from contextlib import suppress
from pathlib import Path


def name_exists(path: Path) -> bool:
    """True where anything has this name, even a link that leads nowhere."""
    return os.path.lexists(path)


def is_folder(path: Path) -> bool:
    """True for a folder itself, not for a link to one."""
    return path.is_dir() and not path.is_symlink()


def clear(path: Path, leftovers: Path) -> None:
    """Remove a file or folder; what cannot be removed now, such as a locked file, is moved into ``leftovers``.

    Raises:
        OSError: it can be neither removed nor moved.
    """
    _remove(path)
    if name_exists(path):
        leftovers.mkdir(parents=True, exist_ok=True)
        path.rename(leftovers / f"{path.name}-{secrets.token_hex(4)}")


def remove_leftovers(leftovers: Path) -> None:
    """Remove what was moved into a folder of leftovers, where it can be removed by now."""
    with suppress(OSError):
        for path in leftovers.iterdir():
            _remove(path)
        leftovers.rmdir()


def _remove(path: Path) -> None:
    if is_folder(path):
        shutil.rmtree(path, ignore_errors=True)
        if path.exists():
            _open_up(path)
            shutil.rmtree(path, ignore_errors=True)
    else:
        with suppress(OSError):
            path.unlink(missing_ok=True)


def _open_up(folder: Path) -> None:
    """Let what was made read-only in a folder be removed, where it belongs to the one who runs this."""
    with suppress(OSError):
        folder.chmod(stat.S_IRWXU)
    for place, folders, files in os.walk(folder):
        for name in (*folders, *files) if os.name == "nt" else folders:
            with suppress(OSError):
                Path(place, name).chmod(stat.S_IRWXU)
