"""A copy of content/ that takes its place: a process that is killed leaves the old names or the new ones."""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import partial
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from catalog_builder.commands.rename import content_copy
from catalog_builder.commands.rename.content_copy import ContentCopy, settle
from catalog_builder.mistake import MistakeError
from tests.fresh_process import run_fresh
from tests.studio import DAY, project, record


def kill_at(step: int, swaps: bool) -> None:
    """Let this process be killed at the so-manieth step of putting a copy in place; where asked, no swap can be made.

    Each call of a function that changes a name counts twice: before it is done, and after.
    """
    steps = count(1)

    def killing(done: Callable[..., Any]) -> Callable[..., Any]:
        def call(*given: object, **named: object) -> object:
            if next(steps) == step:
                os._exit(9)
            result = done(*given, **named)
            if next(steps) == step:
                os._exit(9)
            return result

        return call

    for place, name in ((content_copy, "replace_file"), (content_copy, "swap_folders"), (Path, "rename")):
        done = getattr(place, name)
        setattr(place, name, killing(done if swaps or name != "swap_folders" else lambda *_: False))


def names(root: Path) -> list[str]:
    """The products that are there, each with what the packing list calls it."""
    content = root / "content"
    table = (content / "ready.csv").read_text(encoding="utf-8").splitlines()[1].split(",")[1]
    return [*(path.name for path in sorted((content / "products").iterdir())), table]


def studio(root: Path) -> Path:
    """A studio with a table that names its product."""
    project(root, {"pane": record()})
    (root / "content" / "ready.csv").write_text(f"date,product,count\n{DAY},pane,1\n", encoding="utf-8")
    return root


@pytest.mark.parametrize(
    ("way", "step", "left"),
    [
        ("swap", 2, "pane"),  # the product's folder has its new name in the copy
        ("swap", 5, "pane"),  # its record is written, the table is not
        ("swap", 7, "pane"),  # all is written
        ("swap", 8, "light"),  # the folders are swapped
        ("rename", 9, "pane"),  # no swap can be made
        ("rename", 10, "pane"),  # the old folder is moved away, the new one is not there
        ("rename", 12, "light"),  # it is
    ],
)
def test_a_kill_leaves_old_or_new(way: str, step: int, left: str, tmp_path: Path) -> None:
    """Whatever was done by then, the next command finds a whole folder, and no half of a name."""
    root = studio(tmp_path / "studio")
    words = ("rename", "product", "pane", "light", "--folder", str(root), "--day", f"{DAY}", "--workers", "1")
    ended = run_fresh(*words, prepare=partial(kill_at, step, way == "swap"))
    assert ended.code == 9, ended.errors
    settle(root)
    assert names(root) == [left, left]
    ContentCopy(root).clear()
    assert sorted(path.name for path in root.iterdir()) == ["content", "site_output"]


def test_an_edit_made_meanwhile_is_not_lost(tmp_path: Path) -> None:
    """A file that was saved since the copy was made keeps the copy out."""
    root = studio(tmp_path)
    copy = ContentCopy(root)
    copy.make()
    fresh = root / "content" / "fresh.csv"
    fresh.write_text("date,product,count\n", encoding="utf-8")
    fresh.replace(root / "content" / "ready.csv")
    with pytest.raises(MistakeError, match="a file was changed while the names were"):
        copy.put_in_place()
    assert (root / "content" / "ready.csv").read_text(encoding="utf-8") == "date,product,count\n"


def test_a_folder_that_cannot_be_put_there_leaves_the_old_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the second of two steps fails, the first is taken back."""
    root = studio(tmp_path)
    copy = ContentCopy(root)
    copy.make()
    copy.edit(copy.content / "ready.csv", lambda text: text.replace("pane", "light"))
    monkeypatch.setattr(content_copy, "swap_folders", lambda *_: False)
    true_rename = Path.rename

    def rename(path: Path, target: Path) -> Path:
        if path == copy.content:
            raise OSError(28, "No space left on device")
        return true_rename(path, target)

    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(OSError, match="No space"):
        copy.put_in_place()
    assert names(root) == ["pane", "pane"]


def test_a_linked_content_is_refused(tmp_path: Path) -> None:
    """The link would be replaced, and the folder that it leads to left as it is."""
    root = studio(tmp_path / "true")
    (tmp_path / "linked").mkdir()
    (tmp_path / "linked" / "content").symlink_to(root / "content")
    with pytest.raises(MistakeError, match="content/ is a link to a folder elsewhere"):
        ContentCopy(tmp_path / "linked").make()
