"""Results that builds keep for the next one: found by their inputs, made again if damaged."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.cache.atomic_file import CACHE_FOLDER, digest_of
from catalog_builder.cache.file_digests import FileDigests
from catalog_builder.cache.store import Store, key_of
from catalog_builder.publish.pictures import photo
from catalog_builder.publish.pictures import photo_store as kept_prints_module
from catalog_builder.publish.pictures.photo import Prints, make_prints
from catalog_builder.publish.pictures.photo_store import kept_prints
from tests.publish.demo import build_in, give_photos, lay_out, outputs_of
from tests.publish.photos import quarters, saved

ONE = "net-loft-panel"


@dataclass(frozen=True)
class Sized:
    """Two numbers with names."""

    wide: float
    high: float


def test_kept_until_it_is_damaged(tmp_path: Path) -> None:
    """An entry is read without being made again; with one wrong byte it is made again."""
    store, made = Store(tmp_path), iter([b"first", b"second"])
    key = key_of("a")
    assert store.kept("kind", key, lambda: next(made)) == b"first"
    assert Store(tmp_path).kept("kind", key, lambda: next(made)) == b"first"
    (path,) = (path for path in tmp_path.rglob("*") if path.is_file())
    path.write_bytes(path.read_bytes()[:-1] + b"?")
    assert Store(tmp_path).kept("kind", key, lambda: next(made)) == b"second"


def test_what_no_build_asks_for_goes_away(tmp_path: Path) -> None:
    """An entry that a build did not ask for is let go of; the others stay."""
    first = Store(tmp_path)
    first.keep("kind", key_of("a"), b"a")
    first.keep("kind", key_of("b"), b"b")
    second = Store(tmp_path)
    assert second.find("kind", key_of("a")) == b"a"
    second.clear_unused()
    assert (Store(tmp_path).find("kind", key_of("a")), Store(tmp_path).find("kind", key_of("b"))) == (b"a", None)


def test_a_folder_that_cannot_be_written_keeps_nothing_and_stops_nothing(tmp_path: Path) -> None:
    """Where nothing can be kept, a build goes on and is only slower."""
    (tmp_path / "made").write_text("a file where the folder would be", encoding="utf-8")
    assert Store(tmp_path / "made").kept("kind", key_of("a"), lambda: b"a") == b"a"


@pytest.mark.parametrize(
    ("value", "other"),
    [
        ("12", 12),
        (1, 1.0),
        (1, True),
        (Decimal("1.0"), Decimal("1.00")),
        (("a", "b"), ("ab",)),
        (("a", ("b",)), (("a",), "b")),
        ({"a": 1}, {"a": 2}),
        ({"a": 1}, ("a", 1)),
        (b"a", "a"),
        (None, ""),
        (date(2026, 1, 2), "2026-01-02"),
        (Sized(1.0, 2.0), Sized(2.0, 1.0)),
    ],
)
def test_values_that_differ_have_keys_that_differ(value: object, other: object) -> None:
    """No two values that could make another output share a key; equal ones do."""
    assert key_of(value) != key_of(other)
    assert key_of(value) == key_of(value)


def test_part_of_a_store_reaches_no_other_kind(tmp_path: Path) -> None:
    """Code for the public gets a store of its own kinds: it cannot read entries of the bench."""
    store = Store(tmp_path / "made")
    store.make_room()
    store.keep("panels", key_of("cost"), b"what it costs")
    part = store.only("cards")
    assert part.kept("cards", key_of("card"), lambda: b"card") == b"card"
    for ask in (part.find, part.has):
        with pytest.raises(LookupError, match="panels"):
            ask("panels", key_of("cost"))
    assert store.find("panels", key_of("cost")) == b"what it costs"
    store.clear_unused()
    assert store.find("cards", key_of("card")) == b"card"


def test_a_value_without_a_key_is_refused() -> None:
    """A value whose text would not tell it from another has no key."""
    with pytest.raises(TypeError, match="no key of a object"):
        key_of(object())


def test_prints_come_back_as_they_were(tmp_path: Path) -> None:
    """All sizes of a photo, kept and read back, are the same."""
    (tmp_path / "kept").mkdir()
    path, store, inputs = (
        tmp_path / "a.jpg",
        Store(tmp_path / "kept" / "made"),
        FileDigests(tmp_path / "kept" / "inputs"),
    )
    path.write_bytes(saved(quarters((1700, 900)), "JPEG"))
    bare, made = make_prints(path.read_bytes()), kept_prints(path, inputs, store)
    again = kept_prints(path, FileDigests(tmp_path / "kept" / "inputs"), store)
    for prints in (made, again):
        assert prints.colour == bare.colour
        assert [(size.width, size.height, size.jpeg, size.data("webp")) for size in prints.renditions] == [
            (size.width, size.height, size.jpeg, size.data("webp")) for size in bare.renditions
        ]
        assert [size.digests["webp"] for size in prints.renditions] == [
            digest_of(size.data("webp")) for size in bare.renditions
        ]


def test_a_photo_is_made_ready_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A photo that an earlier build made ready is not opened again; one that is new or changed is.

    With and without what was kept, the same is published.
    """
    project = lay_out(tmp_path / "studio", ONE)
    give_photos(
        project, ONE, {"a.jpg": saved(quarters((900, 600)), "JPEG"), "b.jpg": saved(quarters((600, 900)), "JPEG")}
    )
    opened: list[str] = []
    make = photo.make_prints

    names = {path.read_bytes(): path.name for path in (project / "content" / "products" / ONE).glob("*.jpg")}

    def noted(data: bytes) -> Prints:
        opened.append(names.get(data, "another"))
        return make(data)

    monkeypatch.setattr(kept_prints_module, "make_prints", noted)
    build_in(project)
    first = outputs_of(project)
    assert sorted(opened) == ["a.jpg", "b.jpg"]
    build_in(project)
    assert len(opened) == 2
    assert outputs_of(project) == first
    (project / "content" / "products" / ONE / "a.jpg").write_bytes(saved(quarters((960, 640)), "JPEG"))
    build_in(project)
    assert opened[2:] == ["another"]
    changed = outputs_of(project)
    for path in (project / "site_output" / CACHE_FOLDER).rglob("*"):
        if path.is_file():
            path.unlink()
    build_in(project)
    assert sorted(opened[3:]) == ["another", "b.jpg"]
    assert outputs_of(project) == changed != first
