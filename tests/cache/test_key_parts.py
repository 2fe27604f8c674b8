"""What keys, stamps and digests are made of: without any of these parts an old entry would pass for a new one."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from catalog_builder.cache import store as module
from catalog_builder.cache.file_status import TICK_NS, is_settled, settled_ns, status_of
from catalog_builder.cache.store import digest_of_files, key_of


@pytest.mark.parametrize(
    ("first", "second"),
    [
        # Where one text ends and the next begins is part of the key, whatever letters stand at the border.
        (("ab", "c"), ("a", "bc")),
        (("xsy", "z"), ("x", "ysz")),
        (("a1", "s2"), ("a", "1s2")),
        ((b"xby", b"z"), (b"x", b"ybz")),
        ((b"1", b""), (b"", b"1")),
    ],
)
def test_texts_do_not_run_into_each_other(first: tuple[object, ...], second: tuple[object, ...]) -> None:
    """Two pairs of texts that read alike when written one after the other have keys that differ."""
    assert key_of(*first) != key_of(*second)
    assert key_of(first) != key_of(second)


def test_a_file_by_another_name_is_another_input(tmp_path: Path) -> None:
    """The names of files are part of their digest: two that change places are another theme or program."""
    first, second = tmp_path / "a.txt", tmp_path / "b.txt"
    first.write_text("one", encoding="utf-8")
    second.write_text("two", encoding="utf-8")
    before = digest_of_files([first, second], tmp_path)
    assert digest_of_files([second, first], tmp_path) == before
    first.write_text("two", encoding="utf-8")
    second.write_text("one", encoding="utf-8")
    assert digest_of_files([first, second], tmp_path) != before
    first.rename(tmp_path / "c.txt")
    assert digest_of_files([second, tmp_path / "c.txt"], tmp_path) != before


def test_a_newer_library_is_another_program(monkeypatch: pytest.MonkeyPatch) -> None:
    """Libraries that decide the bytes count with the program: with another version of one, everything is made anew."""
    plain = module.program.__wrapped__()
    monkeypatch.setattr(module, "version", lambda name: "0" if name == "pillow" else "1")
    with_one = module.program.__wrapped__()
    monkeypatch.setattr(module, "version", lambda _: "1")
    assert len({plain, with_one, module.program.__wrapped__()}) == 3


def test_a_file_put_in_anothers_place_has_another_stamp(tmp_path: Path) -> None:
    """A file of the same size and dates that takes another's name is told apart by its number on the disk."""
    old, new = tmp_path / "old", tmp_path / "new"
    old.write_bytes(b"one")
    new.write_bytes(b"two")
    moment = old.stat().st_mtime_ns
    os.utime(new, ns=(moment, moment))
    stamps = [status_of(path.stat()) for path in (old, new)]
    assert stamps[0][:2] == stamps[1][:2]
    assert stamps[0][3] != stamps[1][3]
    assert [stamp[0] for stamp in stamps] == [3, 3]


def test_what_was_written_within_two_seconds_is_not_settled(tmp_path: Path) -> None:
    """The coarsest clock of a common disk ticks every two seconds (FAT): a file may change again within the tick."""
    path = tmp_path / "new"
    path.write_bytes(b"one")
    stamp = status_of(path.stat())
    assert not is_settled(stamp, settled_ns(tmp_path))
    assert TICK_NS == 2_000_000_000
    assert settled_ns(tmp_path) <= time.time_ns() - TICK_NS + 50_000_000
    # Written before the tick, and not at its very beginning.
    assert is_settled(stamp, max(stamp[1], stamp[2]) + 1)
    assert not is_settled(stamp, max(stamp[1], stamp[2]))


def test_where_the_clock_cannot_be_asked_nothing_is_settled(tmp_path: Path) -> None:
    """A folder that is not there has no clock."""
    assert not is_settled((0, 0, 0, 0), settled_ns(tmp_path / "gone"))
