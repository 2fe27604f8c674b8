"""Marks and glass written into a record: what is asked is in it, and all else stays as the maker wrote it."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from pydantic import ValidationError

from catalog_builder.mistake import MistakeError
from catalog_builder.records.keeping.mark_keeping import (
    AskedMarks,
    AskedProduct,
    AskedRecord,
    asked_product,
    plain_marks,
    record_digest,
)
from catalog_builder.records.product import Product, read_product
from tests.publish.demo import ROOT

RECORD = """---
# The first one that I sold.
title: "Net float"   # as on the label
summary: >
  A round float,
  still in its net.
series: panes
added: 2026-01-01
finishes: [black]
glass:                     # what the words stand for
  sea:
    title: Sea
    # The rim is darker.
    pieces: {rim: 'blue', heart: green}  # two sheets
  storm:
    title: Storm
    pieces:
      rim: grey     # from the old stock
      heart: grey
marks:
  rings:
  - [40, 0]       # the top
  pieces:
  # from left to right
  - {at: [5, 5.50], number: 07, glass: rim}  # the first
  - {at: [15, 5], number: 2, glass: heart, grain: 30}
  joins:
  - {line: [0, 0, 0, 80]}

# How it hangs.
hang:
    by: cord
    length: 200 mm
---
The description, with `marks:` in it.

```svg
<svg/>
```
"""
CHOICES = {"sea": {"rim": "blue", "heart": "green"}, "storm": {"rim": "grey", "heart": "grey"}}


def product_in(root: Path, record: str | bytes = RECORD) -> Product:
    """A product with a record."""
    folder = root / "content" / "products" / "float"
    folder.mkdir(parents=True)
    (folder / "product.md").write_bytes(record if isinstance(record, bytes) else record.encode())
    return read_product(root, folder)


def marks_of(product: Product) -> dict[str, Any]:
    """The marks that a record has, as a page would ask for them."""
    return {key: value for key, value in plain_marks(product.keys.marks).items() if key != "joins"}


def asked(product: Product, changes: Mapping[str, Any] | None = None, **more: Any) -> AskedRecord:
    """What a page asks that shows the record as it is, but for some changes."""
    glass = {name: dict(choice.pieces) for name, choice in product.keys.glass.items()}
    values = {"product": product.slug, "seen": record_digest(product), "glass": glass, "marks": {"": marks_of(product)}}
    return AskedRecord.model_validate({**values, **(changes or {}), **more})


def changed_lines(change: AskedProduct) -> list[str]:
    """The lines that a change takes away and puts in, each with its sign."""
    old, new = change.old.decode().splitlines(), change.new.decode().splitlines()
    return [line for line in difflib.ndiff(old, new) if line[0] in "+-"]


def test_marks_as_they_are_change_nothing(tmp_path: Path) -> None:
    """What is asked as it stands leaves every byte as it was, with line ends of another system and a mark too."""
    for number, data in enumerate((RECORD.encode(), b"\xef\xbb\xbf" + RECORD.replace("\n", "\r\n").encode())):
        root = tmp_path / str(number)
        product = product_in(root, data)
        change = asked_product(root, product, asked(product))
        assert change.new == change.old == data


@pytest.mark.parametrize("path", sorted((ROOT / "content" / "products").iterdir()), ids=lambda path: path.name)
def test_no_record_of_the_demo_changes_but_where_asked(path: Path) -> None:
    """A ring more, and a piece more, put lines at the end of the header and touch no other."""
    product = read_product(ROOT, path)
    marks = marks_of(product) | {"rings": [[1, Decimal("2.5")]], "pieces": [{"at": [3, 4], "glass": "new: word"}]}
    glass = {name: {**choice.pieces, "new: word": "glass-tide"} for name, choice in product.keys.glass.items()}
    change = asked_product(ROOT, product, asked(product, marks={"": marks}, glass=glass))
    taken = [line for line in changed_lines(change) if line[0] == "-"]
    assert len(taken) == len(glass)
    assert change.product.keys.marks.rings == ((1.0, 2.5),)
    assert all(choice.pieces["new: word"] == "glass-tide" for choice in change.product.keys.glass.values())
    assert (path / "product.md").read_bytes() == change.old


def test_comments_and_order_stay(tmp_path: Path) -> None:
    """A changed value changes its own line; a new item and a new key come last; a removed one goes alone."""
    product = product_in(tmp_path)
    marks = {
        "rings": [[40, 0], [60, Decimal("0.25")]],
        "pieces": [{"at": [5, Decimal("5.5")], "number": "7", "glass": "wave"}, {"at": [25, 5], "glass": "heart"}],
        "fold": [40, 0, 40, 80],
    }
    glass = {"sea": {"heart": "green", "wave": "blue"}, "storm": {"heart": "slate", "wave": "grey"}}
    change = asked_product(tmp_path, product, asked(product, marks={"": marks}, glass=glass))
    assert changed_lines(change) == [
        "-     pieces: {rim: 'blue', heart: green}  # two sheets",
        "+     pieces: {heart: green, wave: blue}   # two sheets",
        "-       rim: grey     # from the old stock",
        "-       heart: grey",
        "+       heart: slate",
        "+       wave: grey",
        "+   - [60, 0.25]",
        "-   - {at: [5, 5.50], number: 07, glass: rim}  # the first",
        "+   - {at: [5, 5.50], number: 07, glass: wave} # the first",
        "-   - {at: [15, 5], number: 2, glass: heart, grain: 30}",
        "+   - {at: [25, 5], glass: heart}",
        "+   fold: [40, 0, 40, 80]",
    ]
    change.write()
    assert (product.folder / "product.md").read_bytes() == change.new
    assert read_product(tmp_path, product.folder).keys == change.product.keys


def test_the_last_mark_takes_its_key_along(tmp_path: Path) -> None:
    """Where no mark is left, no empty key is left either; the joins of a record stay whatever is asked."""
    product = product_in(tmp_path)
    change = asked_product(tmp_path, product, asked(product, marks={"": {}}))
    assert [len(value) for value in vars(change.product.keys.marks).values() if value] == [1]
    bare = product_in(tmp_path / "bare", RECORD.replace("  joins:\n  - {line: [0, 0, 0, 80]}\n", ""))
    gone = asked_product(tmp_path / "bare", bare, asked(bare, marks={"": {}}))
    assert b"marks:\n" not in gone.new.partition(b"\n---\n")[0]
    assert b"\n\n# How it hangs.\n" in gone.new


def test_the_hardware_is_written_beside_what_stays(tmp_path: Path) -> None:
    """Another kind of hardware takes its own line, and the same kind none; the material of the old kind goes."""
    record = RECORD.replace("    by: cord\n", "    by: cord   # for a shop window\n    material: twine\n")
    product = product_in(tmp_path, record)
    change = asked_product(tmp_path, product, asked(product, by="loop"))
    assert changed_lines(change) == [
        "-     by: cord   # for a shop window",
        "+     by: loop   # for a shop window",
        "-     material: twine",
    ]
    assert change.product.keys.hang.length == 200
    assert asked_product(tmp_path, product, asked(product, by="cord")).new == record.encode()


def test_a_ring_is_what_a_record_without_words_hangs_by(tmp_path: Path) -> None:
    """A loop is a key of its own, and goes with it when a ring is asked again."""
    bare = RECORD.replace("\n# How it hangs.\nhang:\n    by: cord\n    length: 200 mm\n", "\n")
    product = product_in(tmp_path, bare)
    assert asked_product(tmp_path, product, asked(product, by="ring")).new == bare.encode()
    looped = asked_product(tmp_path, product, asked(product, by="loop"))
    assert changed_lines(looped) == ["+ hang: {by: loop}"]
    looped.write()
    product = read_product(tmp_path, product.folder)
    back = asked_product(tmp_path, product, asked(product, by="ring"))
    assert changed_lines(back) == ["- hang: {by: loop}"]


@pytest.mark.parametrize(
    "word",
    ["a: b", "x}, title: Mine", "--- ", "!!python/object:os.system", "*alias", "&a", "# no", "'", '"', "null", "1"],
)
def test_a_hostile_word_stays_a_word(tmp_path: Path, word: str) -> None:
    """Whatever a glass word is made of, it is one word of the record, and no key beside it is touched."""
    product = product_in(tmp_path)
    glass = {name: {**pieces, word: "blue"} for name, pieces in CHOICES.items()}
    change = asked_product(tmp_path, product, asked(product, glass=glass))
    assert set(change.product.keys.glass["sea"].pieces) == {"rim", "heart", word}
    assert change.product.keys.model_copy(update={"glass": product.keys.glass}) == product.keys


@pytest.mark.parametrize(
    "values",
    [
        {"title": "Mine"},
        {"glass": {"sea": {"rim": "x: y"}}},
        {"glass": {"sea": {}}},
        {"glass": {"sea": {"x}\n---\ntitle: Mine": "blue"}}},
        {"marks": {"": {"joins": []}}},
        {"by": "nail"},
        {"by": {"by": "loop"}},
        {"marks": {"": {"pieces": [{"at": [0, 0], "title": "x"}]}}},
        {"marks": {"": {"rings": [[0, Decimal("1e9")]]}}},
        {"marks": {"": {"rings": [[0, 0]] * 5001}}},
        {"product": "../float"},
        {"seen": 1},
    ],
)
def test_nothing_else_can_be_asked(tmp_path: Path, values: dict[str, Any]) -> None:
    """Other keys, names that are none and numbers beyond any pattern are refused."""
    with pytest.raises(ValidationError):
        asked(product_in(tmp_path), values)


def test_unknown_choices_and_parts_are_refused(tmp_path: Path) -> None:
    """Only choices and parts that the record has can be written."""
    product = product_in(tmp_path)
    unknown: list[dict[str, Any]] = [{"glass": {"other": {"rim": "blue"}}}, {"marks": {"wing": {}}}]
    for values in unknown:
        with pytest.raises(MistakeError, match="has no choice of glass or part"):
            asked_product(tmp_path, product, asked(product, **values))


def test_a_record_that_changed_is_left_alone(tmp_path: Path) -> None:
    """What was changed in an editor meanwhile is not written over, not even in the last moment."""
    product = product_in(tmp_path)
    path, question = product.folder / "product.md", asked(product, marks={"": {}})
    change = asked_product(tmp_path, product, question)
    path.write_text(RECORD.replace("The description", "Another description"), encoding="utf-8")
    with pytest.raises(MistakeError, match="changed on the disk"):
        asked_product(tmp_path, product, question)
    with pytest.raises(MistakeError, match="changed on the disk"):
        change.write()
    assert "Another description" in path.read_text(encoding="utf-8")


def test_a_link_is_not_followed(tmp_path: Path) -> None:
    """A record that is a link, or lies in a linked folder, is not written."""
    product = product_in(tmp_path)
    path, question = product.folder / "product.md", asked(product, marks={"": {}})
    path.rename(product.folder / "real.md")
    path.symlink_to("real.md")
    with pytest.raises(MistakeError, match="is a link to a file elsewhere"):
        asked_product(tmp_path, product, question)
    assert (product.folder / "real.md").read_text(encoding="utf-8") == RECORD


def test_a_header_in_one_line_is_left_to_the_maker(tmp_path: Path) -> None:
    """Where keys do not begin lines of their own, the page says so in place of rewriting the header."""
    one_line = (
        "---\n{title: A, summary: B, series: c, added: 2026-01-01, finishes: [black], "
        "glass: {sea: {pieces: {rim: blue}}}}\n---\n```svg\n<svg/>\n```\n"
    )
    product = product_in(tmp_path, one_line)
    with pytest.raises(MistakeError, match="in a way that the program does not change"):
        asked_product(tmp_path, product, asked(product, marks={"": {"rings": [[1, 2]]}}))


def test_a_folder_that_may_not_be_written_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A full or closed disk leaves the record as it was."""
    product = product_in(tmp_path)
    change = asked_product(tmp_path, product, asked(product, marks={"": {}}))

    def full(_path: Path, _data: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("catalog_builder.records.keeping.mark_keeping.replace_file", full)
    with pytest.raises(MistakeError, match="No space left on device"):
        change.write()
    assert (product.folder / "product.md").read_text(encoding="utf-8") == RECORD


def test_grain_along_is_a_word() -> None:
    """A piece whose grain runs along it keeps the word for it."""
    marks = AskedMarks.model_validate({"pieces": [{"at": [Decimal("0.12345"), 2], "grain": "along"}]})
    assert plain_marks(marks) == {"pieces": [{"at": [Decimal("0.1235"), 2], "grain": "along"}]}
