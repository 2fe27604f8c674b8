"""A photo made ready is kept by its own bytes and by the program: neither is enough alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.cache.file_digests import FileDigests
from catalog_builder.cache.store import Store
from catalog_builder.publish.pictures import photo_store
from catalog_builder.publish.pictures.photo_store import is_kept, kept_prints
from tests.publish.photos import quarters, saved


def test_another_program_makes_a_photo_ready_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What an older version kept of a photo does not stand for what this one would make of it."""
    (tmp_path / "kept").mkdir()
    path, store = tmp_path / "a.jpg", Store(tmp_path / "kept" / "made")
    path.write_bytes(saved(quarters((300, 200)), "JPEG"))
    inputs = FileDigests(tmp_path / "kept" / "inputs")
    first = kept_prints(path, inputs, store)
    # That the file stands as it did is the digests' part; here it always does.
    monkeypatch.setattr(FileDigests, "known", lambda self, photo: self.read(photo)[1])
    assert is_kept(path, inputs, store)
    monkeypatch.setattr(photo_store, "program", lambda: "another")
    assert not is_kept(path, inputs, store)
    assert kept_prints(path, inputs, store).key != first.key
