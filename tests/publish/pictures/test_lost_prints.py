"""A photo's bytes, made again where the store has lost them, and never of another version of the file."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.cache.file_digests import FileDigests
from catalog_builder.cache.store import Store
from catalog_builder.mistake import MistakeError
from catalog_builder.publish.pictures.photo_store import kept_prints
from tests.publish.photos import quarters, saved


@pytest.mark.parametrize("edited", [False, True])
def test_lost_bytes_are_made_again_unless_the_photo_was_changed(tmp_path: Path, edited: bool) -> None:
    """Bytes that the store has lost come from the same photo, or the build stops."""
    (tmp_path / "kept").mkdir()
    path, store = tmp_path / "a.jpg", Store(tmp_path / "kept" / "made")
    path.write_bytes(saved(quarters((700, 500)), "JPEG"))
    prints = kept_prints(path, FileDigests(tmp_path / "kept" / "inputs"), store)
    before = prints.renditions[0].jpeg
    for kept in (tmp_path / "kept" / "made" / "prints").rglob("*"):
        if kept.is_file():
            kept.unlink()
    if not edited:
        assert prints.renditions[0].jpeg == before
        return
    path.write_bytes(saved(quarters((900, 500)), "JPEG"))
    with pytest.raises(MistakeError) as caught:
        _ = prints.renditions[0].jpeg
    assert [mistake.wrong for mistake in caught.value.mistakes] == [
        "the photo was changed while the site was being made"
    ]
