"""Digests of a build's input files: a file that may have changed is read again."""

from __future__ import annotations

import json
import os
import resource
import time
from pathlib import Path

import pytest

from catalog_builder.cache import file_digests as module
from catalog_builder.cache.atomic_file import digest_of
from catalog_builder.cache.file_digests import FileDigests
from catalog_builder.cache.file_status import TICK_NS

OLD, NEW = b"as it was read", b"as it is today"


@pytest.fixture
def memory(tmp_path: Path) -> Path:
    """Where a memory is written down."""
    (tmp_path / "kept").mkdir()
    return tmp_path / "kept" / "inputs.json"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A file of the maker's, written a while ago."""
    path = tmp_path / "photo.jpg"
    path.write_bytes(OLD)
    moment = path.stat().st_mtime_ns - 86_400_000_000_000
    os.utime(path, ns=(moment, moment))
    return path


@pytest.fixture(autouse=True)
def _later(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the disk's clock be an hour ahead of what a test has just written."""
    monkeypatch.setattr(module, "settled_ns", lambda _folder: time.time_ns() + 3_600_000_000_000)


def remembered(memory: Path, path: Path) -> FileDigests:
    """Read a file, write down that it was read, and begin anew with the memory of it."""
    first = FileDigests(memory)
    assert first.read(path) == (OLD, digest_of(OLD))
    first.remember()
    return FileDigests(memory)


def test_a_file_that_stands_as_it_did_is_known(memory: Path, path: Path) -> None:
    """A file that did not change is not read again."""
    assert FileDigests(memory).known(path) is None
    for _ in range(2):
        again = remembered(memory, path)
        assert again.known(path) == digest_of(OLD)
        again.remember()
        assert FileDigests(memory).known(path) == digest_of(OLD)


@pytest.mark.skipif(os.name != "posix", reason="the date of a file's entry is one of change on POSIX alone")
def test_a_file_changed_in_place_with_its_size_and_date_put_back_is_noticed(memory: Path, path: Path) -> None:
    """A program that keeps the date of a file that it changes cannot keep that of its entry."""
    known, date = remembered(memory, path), path.stat().st_mtime_ns
    assert len(NEW) == len(OLD)
    with path.open("r+b") as file:
        file.write(NEW)
    os.utime(path, ns=(date, date))
    assert path.stat().st_mtime_ns == date
    assert known.known(path) is None
    assert known.read(path) == (NEW, digest_of(NEW))


def test_a_file_put_in_the_place_of_another_is_noticed(memory: Path, path: Path) -> None:
    """A file of the same size and date that takes another's name, as a backup does that comes back, is another one."""
    known, date = remembered(memory, path), path.stat().st_mtime_ns
    other = path.with_name("other.jpg")
    other.write_bytes(NEW)
    os.utime(other, ns=(date, date))
    other.replace(path)
    assert known.known(path) is None


@pytest.mark.parametrize("ahead_ns", [-TICK_NS // 2, 0, 86_400_000_000_000])
def test_a_file_as_new_as_the_clock_or_newer_is_never_remembered(
    memory: Path, path: Path, monkeypatch: pytest.MonkeyPatch, ahead_ns: int
) -> None:
    """A file written within the clock's last tick, or dated in the future, may change again and look the same."""
    now = path.stat().st_ctime_ns
    monkeypatch.setattr(module, "settled_ns", lambda _folder: now - ahead_ns - TICK_NS)
    os.utime(path, ns=(now, now))
    assert remembered(memory, path).known(path) is None


def test_a_file_dated_in_the_future_is_never_remembered(memory: Path, path: Path) -> None:
    """A camera whose clock is a year ahead: its photos are read at every build, until their dates have come."""
    moment = time.time_ns() + 31_557_600_000_000_000
    os.utime(path, ns=(moment, moment))
    assert remembered(memory, path).known(path) is None


def test_a_file_that_changes_while_it_is_read_is_not_remembered(memory: Path, path: Path) -> None:
    """What was read of a file that is being written is of no moment: it is read again."""

    def slowly(path: Path) -> bytes:
        data = path.read_bytes()
        path.write_bytes(NEW + NEW)
        return data

    first = FileDigests(memory)
    assert first.read(path, slowly) == (OLD, digest_of(OLD))
    first.remember()
    assert FileDigests(memory).known(path) is None


def test_a_file_that_is_gone_is_not_known(memory: Path, path: Path) -> None:
    """A file that was removed is not taken for what it was, and is forgotten."""
    known = remembered(memory, path)
    path.unlink()
    assert known.known(path) is None
    known.remember()
    assert json.loads(memory.read_text()) == {}


@pytest.mark.parametrize(
    "damage",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b"\xff\xfe\x00",
        b'{"a": 1}',
        b'{"a": [1, 2]}',
        b'{"a": [Infinity, 1, 1, 1, ""]}',
        b'{"a": [NaN, 1, 1, 1, ""]}',
        b'{"a": ["x", 1, 1, 1, ""]}',
        b"[" * 100_000,
        b'{"a": ' * 100_000,
    ],
)
def test_a_memory_that_is_damaged_costs_time_alone(memory: Path, path: Path, damage: bytes) -> None:
    """Whatever stands where a memory should be, files are read anew, and remembered anew."""
    remembered(memory, path)
    memory.write_bytes(damage)
    assert FileDigests(memory).known(path) is None
    assert remembered(memory, path).known(path) == digest_of(OLD)


def test_a_memory_cut_short_anywhere_costs_time_alone(memory: Path, path: Path) -> None:
    """A memory that the power cut short at any byte either knows the file as it is or does not know it."""
    remembered(memory, path)
    whole = memory.read_bytes()
    for size in range(len(whole)):
        memory.write_bytes(whole[:size])
        assert FileDigests(memory).known(path) is None


def test_a_memory_that_cannot_be_written_stops_nothing(tmp_path: Path, path: Path) -> None:
    """Where there is no folder for it, or something else in its place, a file is read as ever."""
    for memory in (tmp_path / "none" / "inputs.json", tmp_path):
        first = FileDigests(memory)
        assert first.read(path) == (OLD, digest_of(OLD))
        first.remember()
        assert FileDigests(memory).known(path) is None


def test_a_full_disk_leaves_the_memory_from_before(memory: Path, path: Path) -> None:
    """If the digests have no room on the disk, the old ones stay, and no other file is left."""
    remembered(memory, path)
    before = memory.read_bytes()
    other = path.with_name("other.jpg")
    other.write_bytes(NEW)
    second = FileDigests(memory)
    second.read(other)
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    try:
        resource.setrlimit(resource.RLIMIT_FSIZE, (5, limits[1]))
        second.remember()
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
    assert memory.read_bytes() == before
    assert [name.name for name in memory.parent.iterdir()] == ["inputs.json"]
