"""What may be lost: put in place whole or not at all, and told apart by its digest."""

from __future__ import annotations

import secrets
from contextlib import suppress
from hashlib import blake2b
from pathlib import Path

# Where a build leaves in the output what the next one can use.
CACHE_FOLDER = ".kept"
DIGEST_BYTES = 32


def digest_of(data: bytes) -> str:
    """Give the digest of a file's bytes."""
    return blake2b(data, digest_size=DIGEST_BYTES).hexdigest()


def try_replace_file(path: Path, data: bytes) -> None:
    """Put data in a file's place at once; where nothing can be written, what stood there stays, and nobody is told."""
    fresh = path.with_name(f".{secrets.token_hex(6)}")
    with suppress(OSError):
        try:
            fresh.write_bytes(data)
            fresh.replace(path)
        finally:
            fresh.unlink(missing_ok=True)
