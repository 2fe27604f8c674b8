"""What stands for a value in a key: its fields or what its class names, looked at once for a value that is shared."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, replace
from pathlib import PurePosixPath
from types import MappingProxyType

import pytest

from catalog_builder.cache import value_bytes
from catalog_builder.cache.value_bytes import bytes_of


@dataclass(frozen=True, slots=True)
class Leaf:
    """A frozen value with a text."""

    text: str
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class Shop:
    """A value that is known by its name alone."""

    name: str
    till: object

    def key_parts(self) -> list[object]:
        """Leave out what has no key."""
        return [self.name]


@dataclass(slots=True)
class Draft:
    """A value that may still change."""

    text: str


def test_a_long_frozen_value_is_looked_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same value gives the same bytes without its fields being read again; an equal one gives equal bytes."""
    long = Leaf("oak" * 1000)
    first = bytes_of(long)
    assert len(first) < 100
    monkeypatch.setitem(value_bytes._WRITE, str, lambda _: pytest.fail("it was looked at again"))
    assert bytes_of(long) == first
    monkeypatch.undo()
    assert bytes_of(Leaf("oak" * 1000)) == first
    assert bytes_of(replace(long, weight=2.0)) != first


def test_another_value_in_the_place_of_one_that_is_gone() -> None:
    """Values that come and go, and may lie where another lay in memory, are each known by their own fields."""
    seen = {bytes_of(Leaf("oak" * 1000 + str(number))) for number in range(500)}
    assert len(seen) == 500


def test_a_value_that_may_change_is_looked_at_each_time() -> None:
    """A data class that is not frozen gives other bytes after a change."""
    draft = Draft("oak" * 1000)
    before = bytes_of(draft)
    draft.text = "ash" * 1000
    assert bytes_of(draft) != before


def test_memory_of_values_has_an_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """When so many values are known, they are let go, and the bytes stay as they were."""
    monkeypatch.setattr(value_bytes, "_MOST_KNOWN", 3)
    leaves = [Leaf("elm" * 1000 + str(number)) for number in range(10)]
    first = [bytes_of(leaf) for leaf in leaves]
    assert [bytes_of(leaf) for leaf in leaves] == first
    assert len(value_bytes._KNOWN) <= 3


def test_a_class_may_name_what_it_is_known_by() -> None:
    """Only the parts that ``key_parts`` gives count, and the others need no key."""
    assert bytes_of(Shop("a", object())) == bytes_of(Shop("a", object()))
    assert bytes_of(Shop("a", 1)) != bytes_of(Shop("b", 1))


@pytest.mark.parametrize("value", [MappingProxyType({"a": 1}), OrderedDict(a=1), {1, 2}, PurePosixPath("a")])
def test_other_containers(value: object) -> None:
    """Mappings of any kind and sets have bytes; a path that is none of this system's has none."""
    if isinstance(value, PurePosixPath):
        with pytest.raises(TypeError, match="no key of a PurePosixPath"):
            bytes_of(value)
    else:
        assert bytes_of(value) == bytes_of(type(value)(value))  # type: ignore[call-arg]
