"""Results of earlier builds, each under a key of everything that it was made from, so that only changes are made again.

Every entry carries a checksum: a damaged one counts as missing, and is made again. Deleting the whole store only
costs time.
"""

from __future__ import annotations

import dataclasses
import hashlib
import os
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from datetime import date
from decimal import Decimal
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path
from typing import Any

from catalog_builder.cache.atomic_file import DIGEST_BYTES, digest_of, try_replace_file
from catalog_builder.phrase import Phrase

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
    digest, pieces = hashlib.blake2b(digest_size=_CHECK), list[bytes]()
    for part in parts:
        _feed(pieces.append, part)
        digest.update(b"".join(pieces))
        pieces.clear()
    return digest.hexdigest()


# Values of these types are told apart by what they look like, and most of all values are of one of them.
_PLAIN = frozenset({float, int, bool, type(None), Decimal, date})


def _feed(feed: Callable[[bytes], None], value: Any) -> None:
    """Feed a value with its type and its length, so that no two values give the same bytes."""
    kind = type(value)
    if kind in _PLAIN:
        feed(f"{kind.__name__}:{value!r};".encode())
    elif isinstance(value, str):
        text = value.encode("utf-8", "surrogatepass")
        feed(b"s%d:" % len(text) + text)
    elif isinstance(value, bytes):
        feed(b"b%d:" % len(value) + value)
    elif isinstance(value, int | float | Decimal | date):
        feed(f"{kind.__name__}:{value!r};".encode())
    elif isinstance(value, Phrase):
        feed(_bytes_of(value))
    else:
        parts = _parts(value)
        feed(f"{type(value).__name__}{len(parts)}:".encode())
        for part in parts:
            _feed(feed, part)


@lru_cache(maxsize=10_000)
def _bytes_of(value: Phrase) -> bytes:
    """Give what a phrase feeds. The costs of a thousand variants hold the same few hundred phrases."""
    parts = [b"Phrase"]
    _feed(parts.append, value.key)
    _feed(parts.append, value.values)
    return b"".join(parts)


def _parts(value: Any) -> list[Any]:
    """Give the parts of a value, in an order that is the same in every run."""
    names = _names(type(value))  # type: ignore[arg-type]
    if names is not None:
        return [getattr(value, name) for name in names]
    if isinstance(value, tuple | list):
        return list(value)
    if isinstance(value, Mapping):
        return [part for pair in value.items() for part in pair]
    if isinstance(value, frozenset | set):
        return sorted(value)
    if isinstance(value, Path):
        return [value.as_posix()]
    if hasattr(value, "model_fields_set"):
        return [sorted(value.model_fields_set), dict(value)]
    raise TypeError(f"no key of a {type(value).__name__}")


@lru_cache(maxsize=1000)
def _names(kind: type) -> tuple[str, ...] | None:
    """Give the names of the fields of a data class; None for any other type."""
    return tuple(field.name for field in dataclasses.fields(kind)) if dataclasses.is_dataclass(kind) else None


def digest_of_files(paths: Iterable[Path], root: Path) -> str:
    """Give the digest of files with their names under a root, in the order of their names."""
    return key_of(*((path.relative_to(root).as_posix(), digest_of(path.read_bytes())) for path in sorted(paths)))


@lru_cache
def program() -> str:
    """Give the digest of the program and of the libraries that decide its results."""
    root = Path(__file__).resolve().parent.parent
    versions = [f"{name} {version(name)}" for name in _LIBRARIES]
    return key_of(digest_of_files(root.rglob("*.py"), root), versions)
