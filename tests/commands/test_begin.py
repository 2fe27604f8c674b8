"""``begin`` in places that cannot be written: worded, and nothing is left half done."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest
from click.testing import CliRunner

from catalog_builder.cli import main
from catalog_builder.commands.begin import lay_out
from catalog_builder.mistake import MistakeError


def begun(folder: Path) -> tuple[int, str]:
    """Run the command, and give its exit code and what it printed."""
    outcome = CliRunner().invoke(main, ["begin", str(folder)])
    assert outcome.exception is None or isinstance(outcome.exception, SystemExit)
    return outcome.exit_code, outcome.output


def names_under(folder: Path) -> set[str]:
    """Give the paths of everything in a folder, hidden names included."""
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*")}


@pytest.mark.parametrize(
    ("place", "why"),
    [
        ("taken", "something else stands in its place"),
        ("taken/inside", "something else stands in its place"),
        ("n" * 300, "its name is too long"),
        ("new/" + "n" * 300, "its name is too long"),
    ],
)
def test_a_place_that_cannot_be_a_folder_is_told(tmp_path: Path, place: str, why: str) -> None:
    """A file in the way and a name too long are mistakes, and leave what was there before."""
    (tmp_path / "taken").write_text("a file of the maker's", encoding="utf-8")
    code, output = begun(tmp_path / place)
    assert code == 1
    assert why in output
    assert "mend:" in output
    assert names_under(tmp_path) == {"taken"}


@pytest.mark.parametrize("number", [errno.EACCES, errno.EROFS, errno.ENOSPC])
@pytest.mark.parametrize("file", [1, 2, 5])
def test_a_disk_that_fails_halfway_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, file: int
) -> None:
    """After a full disk nothing stands, and a second try works."""
    write, count = Path.write_bytes, iter(range(1, 100))

    def failing(path: Path, data: bytes) -> int:
        if next(count) >= file:
            raise OSError(number, os.strerror(number), str(path))
        return write(path, data)

    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "notes.txt").write_text("kept", encoding="utf-8")
    with monkeypatch.context() as patched:
        patched.setattr(Path, "write_bytes", failing)
        for folder in (tmp_path / "new" / "studio", tmp_path / "mine"):
            code, output = begun(folder)
            assert (code, "cannot be laid out" in output) == (1, True)
    assert names_under(tmp_path) == {"mine", "mine/notes.txt"}
    assert len(lay_out(tmp_path / "new" / "studio")) == len(lay_out(tmp_path / "mine"))
    assert (tmp_path / "mine" / "notes.txt").read_text(encoding="utf-8") == "kept"


def test_a_link_that_leads_nowhere_counts_as_content(tmp_path: Path) -> None:
    """What stands under the name content/ is never replaced, whatever it is."""
    (tmp_path / "content").symlink_to(tmp_path / "nowhere")
    with pytest.raises(MistakeError, match="there is a content folder already"):
        lay_out(tmp_path)
    assert names_under(tmp_path) == {"content"}
