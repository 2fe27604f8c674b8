"""A file of the maker's put in place whole, or left as it was."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path


def replace_whole(path: Path, data: bytes) -> None:
    """Write a file beside the one that stands, down to the disk, and put it in its place at once.

    Raises:
        OSError: it cannot be written; the file that stands is untouched.
    """
    fresh = path.with_name(f".{path.name}.new")
    try:
        with fresh.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        fresh.replace(path)
    except OSError:
        with suppress(OSError):
            fresh.unlink()
        raise
