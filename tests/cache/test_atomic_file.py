"""A file is replaced as a whole or not at all."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from catalog_builder.cache.atomic_file import replace_file, try_replace_file

WRITERS = [replace_file, try_replace_file]


def names_in(folder: Path) -> list[str]:
    """Give the names of all files in a folder."""
    return [path.name for path in folder.iterdir()]


@pytest.mark.parametrize("write", WRITERS)
def test_a_file_is_made_and_replaced(tmp_path: Path, write: Callable[[Path, bytes], None]) -> None:
    """Nothing else is left in the folder, and the file keeps its mode."""
    path = tmp_path / "book.csv"
    write(path, b"old")
    path.chmod(0o640)
    write(path, b"new")
    assert path.read_bytes() == b"new"
    assert path.stat().st_mode & 0o777 == 0o640
    assert names_in(tmp_path) == ["book.csv"]


@pytest.mark.parametrize("step", ["write", "replace"])
@pytest.mark.parametrize("error", [OSError, KeyboardInterrupt])
def test_an_error_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, error: type[BaseException]
) -> None:
    """Whichever step fails: a full disk, a file that another program holds open, or the maker who stops it."""
    path = tmp_path / "book.csv"
    path.write_bytes(b"old")

    def fail(*_: object) -> None:
        raise error

    if step == "write":
        monkeypatch.setattr(os, "fsync", fail)
    else:
        monkeypatch.setattr(Path, "replace", fail)
    with pytest.raises(error):
        replace_file(path, b"new")
    assert path.read_bytes() == b"old"
    assert names_in(tmp_path) == ["book.csv"]


def test_a_file_that_may_be_lost_is_given_up_quietly(tmp_path: Path) -> None:
    """There is no folder to write it in."""
    try_replace_file(tmp_path / "none" / "cache", b"new")
    assert names_in(tmp_path) == []
    with pytest.raises(FileNotFoundError):
        replace_file(tmp_path / "none" / "book.csv", b"new")


def test_what_a_killed_process_left_is_overwritten(tmp_path: Path) -> None:
    """It was killed between writing the new file and putting it in its place."""
    (tmp_path / ".book.csv.new").write_bytes(b"half")
    replace_file(tmp_path / "book.csv", b"new")
    assert names_in(tmp_path) == ["book.csv"]
