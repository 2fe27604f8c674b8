"""A build that is killed between folders that change places: the next command, whichever, puts all in place."""

from __future__ import annotations

import os
import shutil
import sys
from itertools import count
from pathlib import Path

import pytest
from click.testing import CliRunner

from catalog_builder.cache.atomic_file import CACHE_FOLDER
from catalog_builder.cache.build_state import AUDIENCES
from catalog_builder.cli import main
from catalog_builder.publish.output import folder as folders
from catalog_builder.publish.output.folder import Folder, Write
from catalog_builder.publish.output.publication import finish_publication, publish_together

pytestmark = pytest.mark.skipif(os.name != "posix", reason="a process is killed in a copy of itself, which POSIX has")
# What changes a folder; a folder's swap in one step looks its function up.
STEPS = ("os.rename", "os.remove", "os.rmdir", "os.link", "os.mkdir", "ctypes.dlsym")


def published(output: Path, word: str) -> None:
    """Publish a page for each audience, the bench's always the same."""

    def writer(name: str) -> Write:
        def write(folder: Folder) -> int:
            folder.write("a/page.html", "same" if name == "bench" else word)
            return 1

        return write

    publish_together(output, {name: writer(name) for name in AUDIENCES}, lambda _done, _all: None, 3)


def killed_at(output: Path, word: str, step: int) -> bool:
    """Publish in a copy of this process that is killed before a step; say whether it came that far."""
    child = os.fork()
    if child:
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 9
    steps = count(1)

    def audit(event: str, _arguments: tuple[object, ...]) -> None:
        if event in STEPS and next(steps) == step:
            os._exit(9)

    try:
        sys.addaudithook(audit)
        published(output, word)
    finally:
        os._exit(0)


def words(output: Path) -> tuple[str, ...]:
    """The words that stand published; none where a folder is away."""
    paths = [output / name / "a" / "page.html" for name in AUDIENCES]
    return tuple(path.read_text(encoding="utf-8") if path.is_file() else "none" for path in paths)


@pytest.mark.parametrize("exchanging", [True, False])
def test_whatever_step_a_build_is_killed_at(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, exchanging: bool) -> None:
    """After the next command all folders are of one build, the maker's own files are there, and nothing is beside."""
    old, new, between = ("old", "old", "same"), ("new", "new", "same"), set()
    if not exchanging:
        monkeypatch.setattr(folders, "swap_folders", lambda _one, _other: False)
    for step in count(1):
        output = tmp_path / str(step)
        published(output, "old")
        (output / "stall" / "own.txt").write_text("mine", encoding="utf-8")
        if not killed_at(output, "new", step):
            break
        between.add(words(output))
        own = output / "catalogue" / "late.txt"
        late = own.parent.is_dir()
        if late:
            own.write_text("late", encoding="utf-8")
        finish_publication(output)
        assert words(output) in (old, new), step
        published(output, "next")
        assert words(output) == ("next", "next", "same")
        assert (output / "stall" / "own.txt").read_text(encoding="utf-8") == "mine"
        assert not late or own.read_text(encoding="utf-8") == "late"
        assert sorted(path.name for path in output.iterdir()) == sorted((*AUDIENCES, CACHE_FOLDER)), step
        shutil.rmtree(output)
    assert words(output) == new
    assert len(between) > 2


def test_any_command_finishes_it(tmp_path: Path) -> None:
    """A command that only reads does so, too; without records it then says what is wrong with them."""
    output = tmp_path / "site_output"
    step = next(step for step in count(1) if _killed_between(output, step))
    assert CliRunner().invoke(main, ["why", "anything", "--folder", str(tmp_path)]).exit_code == 1
    assert words(output) == ("new", "new", "same"), step


def _killed_between(output: Path, step: int) -> bool:
    shutil.rmtree(output, ignore_errors=True)
    published(output, "old")
    killed_at(output, "new", step)
    return words(output) == ("new", "old", "same")


def test_a_journal_that_is_damaged_or_names_no_whole_folder_changes_nothing(tmp_path: Path) -> None:
    """What cannot be finished is left to the next build."""
    published(tmp_path, "old")
    for text in ("", "{", '{"catalogue": "0"}', '{"../x": "0"}', "[]"):
        (tmp_path / CACHE_FOLDER / "places.json").write_text(text, encoding="utf-8")
        finish_publication(tmp_path)
        assert words(tmp_path) == ("old", "old", "same")
        assert not (tmp_path / CACHE_FOLDER / "places.json").exists()
