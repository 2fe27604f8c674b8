"""Results of earlier builds, each under a key of everything that it was made from, so that only changes are made again.

Every entry carries a checksum: a damaged one counts as missing, and is made again. Deleting the whole store only
costs time.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterable
from contextlib import suppress
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path

from catalog_builder.cache.atomic_file import DIGEST_BYTES, digest_of, try_replace_file
from catalog_builder.cache.value_bytes import bytes_of

_CHECK = DIGEST_BYTES
# The libraries that decide the bytes of a result.
_LIBRARIES = ("babel", "jinja2", "markdown", "nh3", "numpy", "pillow", "shapely", "typst")


class Store:
    """Entries under a folder. ``used`` collects the names of those that a build uses."""

    def __init__(self, folder: Path, kinds: frozenset[str] | None = None) -> None:
        self.folder = folder
        self.kinds = kinds
        self.used: set[str] = set()

    def only(self, *kinds: str) -> Store:
        """Give a store that holds some kinds of entries only, for code that must not see the others."""
        part = Store(self.folder, frozenset(kinds))
        part.used = self.used
        return part

    def use(self, kind: str, key: str) -> None:
        """Note that this build uses the entry of a key, though it may not read it.

        Raises:
            LookupError: the store does not hold entries of this kind.
        """
        if self.kinds is not None and kind not in self.kinds:
            raise LookupError(f"this store holds no entries of the kind {kind}")
        self.used.add(_name(kind, key))

    def make_room(self) -> None:
        """Make the folder that entries are kept in; without it nothing is kept."""
        with suppress(OSError):
            self.folder.parent.mkdir(parents=True, exist_ok=True)

    def kept(self, kind: str, key: str, make: Callable[[], bytes]) -> bytes:
        """Give the entry of a key, or make and keep it."""
        data = self.find(kind, key)
        if data is None:
            data = make()
            self.keep(kind, key, data)
        return data

    def find(self, kind: str, key: str) -> bytes | None:
        """Give the entry of a key; None where there is none, or a damaged one."""
        self.use(kind, key)
        try:
            stored = (self.folder / _name(kind, key)).read_bytes()
        except OSError:
            return None
        check, data = stored[:_CHECK], stored[_CHECK:]
        return data if hashlib.blake2b(data, digest_size=_CHECK).digest() == check else None

    def has(self, kind: str, key: str) -> bool:
        """Say whether there is an entry of a key, without reading it."""
        self.use(kind, key)
        return (self.folder / _name(kind, key)).is_file()

    def keep(self, kind: str, key: str, data: bytes) -> None:
        """Keep data under a key. On a full disk or in a closed folder nothing is kept, and no error is raised.

        Nothing is kept before ``make_room``: a command that only reads a project does not change it.
        """
        if not self.folder.parent.is_dir():
            return
        self.use(kind, key)
        path = self.folder / _name(kind, key)
        with suppress(OSError):
            path.parent.mkdir(parents=True, exist_ok=True)
        try_replace_file(path, hashlib.blake2b(data, digest_size=_CHECK).digest() + data)

    def clear_unused(self) -> None:
        """Delete every entry that this build does not use."""
        for folder, _, names in os.walk(self.folder):
            for name in names:
                path = Path(folder, name)
                if path.relative_to(self.folder).as_posix() not in self.used and path.parent != self.folder:
                    with suppress(OSError):
                        path.unlink()


def _name(kind: str, key: str) -> str:
    return f"{kind}/{key[:2]}/{key[2:]}"


def key_of(*parts: object) -> str:
    """Give a key of values: equal values have the same key on every machine, others have another.

    Raises:
        TypeError: a value is of a type that has no unique text.
    """
    digest = hashlib.blake2b(digest_size=_CHECK)
    for part in parts:
        digest.update(bytes_of(part))
    return digest.hexdigest()


def digest_of_files(paths: Iterable[Path], root: Path) -> str:
    """Give the digest of files with their names under a root, in the order of their names."""
    return key_of(*((path.relative_to(root).as_posix(), digest_of(path.read_bytes())) for path in sorted(paths)))


@lru_cache
def program() -> str:
    """Give the digest of the program and of the libraries that decide its results."""
    root = Path(__file__).resolve().parent.parent
    versions = [f"{name} {version(name)}" for name in _LIBRARIES]
    return key_of(digest_of_files(root.rglob("*.py"), root), versions)
