"""Files that are replaced as a whole or not at all, and their digests."""

from __future__ import annotations

import os
from contextlib import suppress
from hashlib import blake2b
from pathlib import Path

# The folder of the output in which a build keeps what the next one can use.
CACHE_FOLDER = ".kept"
# The folder of a project in which a copy of content/ is made.
RENAMING = ".renaming"
DIGEST_BYTES = 32


def digest_of(data: bytes) -> str:
    """Give the digest of a file's bytes."""
    return blake2b(data, digest_size=DIGEST_BYTES).hexdigest()


def replace_file(path: Path, data: bytes) -> None:
    """Replace a file, down to the disk, as a whole or not at all; it keeps its mode. It may be missing before.

    Raises:
        OSError: the file cannot be written; the old one is unchanged.
    """
    # The name is fixed, so that what a killed process left behind is overwritten.
    _replace(path, path.with_name(f".{path.name}.new"), data, to_disk=True)


def try_replace_file(path: Path, data: bytes) -> None:
    """Replace a file that may be lost, as a whole or not at all; where it cannot be written, nothing happens."""
    # Several processes may write the same file, each under a name of its own.
    with suppress(OSError):
        _replace(path, path.with_name(f".{os.urandom(6).hex()}"), data, to_disk=False)


def _replace(path: Path, fresh: Path, data: bytes, *, to_disk: bool) -> None:
    try:
        fresh.write_bytes(data)
        if to_disk:
            with fresh.open("r+b") as file:
                os.fsync(file.fileno())
        with suppress(FileNotFoundError):
            import shutil  # which loads libraries that no other command needs

            shutil.copymode(path, fresh)
        fresh.replace(path)
    except BaseException:
        with suppress(OSError):
            fresh.unlink()
        raise
