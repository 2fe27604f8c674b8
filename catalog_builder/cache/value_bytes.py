"""The bytes that stand for a value in a key: equal values give equal bytes on every machine, others give others."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from hashlib import blake2b
from operator import attrgetter
from pathlib import Path
from typing import Any

# A value of more bytes is known by their digest, and a frozen one is looked at only once: many pages share it.
_LONG, _DIGEST, _MOST_KNOWN = 1_000, b"digest:", 20_000
# The values themselves are held too, so that no other takes their place in memory.
_KNOWN: dict[int, tuple[object, bytes]] = {}

_Write = Callable[[Any], bytes]


def bytes_of(value: object) -> bytes:
    """Give a value with its type and its length, so that no two values give the same bytes.

    Raises:
        TypeError: it is of a type that has no unique text.
    """
    return _WRITE[type(value)](value)


class _Writers(dict[type, _Write]):
    """What gives the bytes of the values of a type, found once for each type."""

    def __missing__(self, kind: type) -> _Write:
        write = self[kind] = _writer_of(kind)
        return write


_WRITE = _Writers()


def _writer_of(kind: type) -> _Write:
    if issubclass(kind, str):
        return _text
    if issubclass(kind, bytes):
        return lambda value: b"b%d:%b" % (len(value), value)
    if issubclass(kind, int | float | Decimal | date | None):
        name = kind.__name__.encode()
        return lambda value: b"%b:%b;" % (name, repr(value).encode())
    if dataclasses.is_dataclass(kind):
        return _data_writer(kind)
    return _parts_writer(kind, _parts_of(kind))


def _text(value: str) -> bytes:
    text = value.encode("utf-8", "surrogatepass")
    return b"s%d:%b" % (len(text), text)


def _parts_of(kind: type) -> Callable[[Any], Sequence[Any]]:
    """Give what takes the parts of a value, in an order that is the same in every run."""
    if issubclass(kind, tuple | list):
        return list
    if issubclass(kind, Mapping):
        return lambda value: [part for pair in value.items() for part in pair]
    if issubclass(kind, frozenset | set):
        return sorted
    if issubclass(kind, Path):
        return lambda value: [value.as_posix()]
    if hasattr(kind, "model_fields_set"):
        return lambda value: [sorted(value.model_fields_set), dict(value)]
    raise TypeError(f"no key of a {kind.__name__}")


def _data_writer(kind: Any) -> _Write:
    """Write the fields of a data class, or what its ``key_parts`` gives in their place."""
    write = _parts_writer(kind, getattr(kind, "key_parts", None) or _fields_of(kind))
    return _known_writer(write) if kind.__dataclass_params__.frozen else write


def _fields_of(kind: Any) -> Callable[[Any], Sequence[Any]]:
    names = [field.name for field in dataclasses.fields(kind)]
    if len(names) > 1:
        return attrgetter(*names)
    return lambda value: [getattr(value, name) for name in names]


def _parts_writer(kind: type, parts_of: Callable[[Any], Sequence[Any]]) -> _Write:
    name, writers = kind.__name__.encode(), _WRITE

    def write(value: Any) -> bytes:
        parts = parts_of(value)
        whole = b"%b%d:%b" % (name, len(parts), b"".join([writers[type(part)](part) for part in parts]))
        return whole if len(whole) <= _LONG else _DIGEST + blake2b(whole, digest_size=32).digest()

    return write


def _known_writer(write: _Write) -> _Write:
    known = _KNOWN

    def known_or_written(value: Any) -> bytes:
        seen = known.get(id(value))
        if seen is not None and seen[0] is value:
            return seen[1]
        whole = write(value)
        if whole.startswith(_DIGEST):
            if len(known) >= _MOST_KNOWN:
                known.clear()
            known[id(value)] = value, whole
        return whole

    return known_or_written
