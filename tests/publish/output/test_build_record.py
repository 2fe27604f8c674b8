"""What is remembered of published files, and what a folder does with it: nothing is taken for what it is not."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from catalog_builder.cache.atomic_file import digest_of
from catalog_builder.publish.output import build_record
from catalog_builder.publish.output.build_record import FileRecord, read_seen, write_seen
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.output.harmless import harmless

ONE, TWO = b"one", b"two"


def page(output: Path, data: bytes = ONE) -> Path:
    """A page that stands published."""
    path = output / "catalogue" / "a.html"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return path


def test_what_another_program_made_is_made_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The key of a file counts for the program that wrote it; its digest is true whoever wrote it."""
    record = FileRecord.of(page(tmp_path), digest_of(ONE), "key")
    memory = tmp_path / "seen" / "catalogue.json"
    write_seen(memory, {"a.html": record})
    assert read_seen(memory) == {"a.html": record}
    monkeypatch.setattr(build_record, "program", lambda: "another")
    (remembered,) = read_seen(memory).values()
    assert (remembered.key, remembered.digest) == ("", digest_of(ONE))


@pytest.mark.parametrize(("data", "later_ns"), [(b"other", 0), (TWO, 1_000), (TWO, 0)])
def test_a_file_looks_as_it_did_by_size_and_dates(tmp_path: Path, data: bytes, later_ns: int) -> None:
    """A file of another size or date has to be read again, also one that was given its old date back."""
    path = page(tmp_path)
    record, moment = FileRecord.of(path, digest_of(ONE)), path.stat().st_mtime_ns
    assert record.is_at(path)
    time.sleep(0.05)
    path.write_bytes(data)
    os.utime(path, ns=(moment + later_ns, moment + later_ns))
    assert not record.is_at(path)


@pytest.mark.parametrize(
    ("listed", "remembered", "linked"),
    [
        # The file holds ONE. List and memory say so; or the memory is of another build, and the file is read.
        (ONE, ONE, True),
        (ONE, TWO, True),
        # The list alone says that it holds TWO; and both say so.
        (TWO, ONE, False),
        (TWO, TWO, True),
    ],
)
def test_a_file_is_taken_over_only_as_what_it_is(
    tmp_path: Path, listed: bytes, remembered: bytes, linked: bool
) -> None:
    """A published file is linked over where list and memory have the digest; where they differ, its bytes decide.

    Where both have it and the file looks as it did, its bytes are not read: that is what the memory is for.
    """
    path = page(tmp_path)
    folder = Folder(tmp_path, "catalogue")
    folder.making.mkdir()
    folder.before = {"a.html": digest_of(listed)}
    folder.last_seen = {"a.html": FileRecord.of(path, digest_of(remembered))}
    assert folder.keep("a.html", digest_of(listed)) is linked
    assert (folder.making / "a.html").exists() is linked


def test_a_digest_that_the_list_has_not_is_written(tmp_path: Path) -> None:
    """A page that comes out otherwise is written anew and counted; one that is the same is not."""
    page(tmp_path)
    folder = Folder(tmp_path, "catalogue")
    folder.making.mkdir()
    folder.before = {"a.html": digest_of(ONE)}
    folder.write("a.html", ONE)
    assert folder.written == 0
    folder.write("a.html", TWO)
    assert folder.written == 1
    assert (folder.making / "a.html").read_bytes() == TWO
    assert (folder.final / "a.html").read_bytes() == ONE


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\0"])
def test_no_cell_runs_as_a_formula(sign: str) -> None:
    """What begins a formula is led by an apostrophe: OWASP ASVS 5.0, 1.2.10 (S2: = + - @, tab and null)."""
    assert harmless(f"{sign}1+1") == f"'{sign}1+1"
    assert harmless(f"Sea{sign}") == f"Sea{sign}"
