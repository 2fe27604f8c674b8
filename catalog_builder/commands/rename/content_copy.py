"""A copy of content/ beside it, in which names are changed, and which takes its place in one step."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

from catalog_builder.cache.atomic_file import RENAMING, replace_file
from catalog_builder.commands.disk_faults import reason_of
from catalog_builder.mistake import MistakeError, Place
from catalog_builder.publish.output.folder_swap import swap_folders
from catalog_builder.publish.output.user_files import link_or_copy

_OLD = "content-before"
_Status = tuple[int, int, int]


class ContentCopy:
    """A copy of a project's folder with the same content/ and themes/; files that do not change are linked."""

    def __init__(self, project: Path) -> None:
        self.project = project
        self.folder = project / RENAMING
        self.content = self.folder / "content"
        self.edited: list[str] = []
        self._statuses: dict[str, _Status] = {}

    def make(self) -> None:
        """Copy content/ and themes/.

        Raises:
            MistakeError: content/ is reached by a link.
            OSError: something cannot be read or written.
        """
        if (self.project / "content").is_symlink():
            raise MistakeError.at(
                Place(path="content"),
                wrong="content/ is a link to a folder elsewhere",
                expected="a folder that lies in the project's folder itself",
                mend="name the folder that the link leads to with --folder, or move it here",
            )
        self.clear()
        self._statuses = _statuses(self.project / "content")
        for name in ("content", "themes"):
            if (self.project / name).is_dir():
                shutil.copytree(self.project / name, self.folder / name, symlinks=True, copy_function=_linked)

    def edit(self, path: Path, change: Callable[[str], str]) -> None:
        """Write a file of the copy again where ``change`` gives another text; the original stays as it is."""
        text = path.read_bytes().decode()
        new = change(text)
        if new != text:
            replace_file(path, new.encode())
            self.edited.append(path.relative_to(self.folder).as_posix())

    def put_in_place(self) -> None:
        """Put the copy in the place of content/, whole or not at all.

        Raises:
            MistakeError: a file of content/ was changed since the copy was made.
            OSError: it cannot be put there; content/ is as it was.
        """
        content, old = self.project / "content", self.folder / _OLD
        if _statuses(content) != self._statuses:
            raise MistakeError.at(
                Place(path="content"),
                wrong="a file was changed while the names were",
                expected="content/ as it was read",
                mend="run the command again; nothing was changed",
            )
        if swap_folders(content, self.content):
            return
        # Where the system knows no swap, `settle` brings the old folder back if the process ends between the two.
        content.rename(old)
        try:
            self.content.rename(content)
        except OSError:
            old.rename(content)
            raise

    def clear(self) -> None:
        """Remove the copy."""
        settle(self.project)
        shutil.rmtree(self.folder, ignore_errors=True)


def settle(project: Path) -> None:
    """Restore content/ where a run was ended at the moment when the folder was missing."""
    old = project / RENAMING / _OLD
    if old.is_dir() and not os.path.lexists(project / "content"):
        old.rename(project / "content")


def not_written(fault: OSError) -> MistakeError:
    """Give the mistake of a disk that cannot be written."""
    why, mend = reason_of(fault)
    return MistakeError.at(
        Place(path=RENAMING), wrong=f"the new names cannot be written: {why}", expected="room to write", mend=mend
    )


def _linked(source: str, target: str) -> None:
    link_or_copy(Path(source), Path(target))


def _statuses(folder: Path) -> dict[str, _Status]:
    """Give size, date and number of every file; a link's own, not those of what it leads to."""
    statuses = {}
    for place, _, files in os.walk(folder):
        for name in files:
            path = Path(place, name)
            status = path.lstat()
            statuses[path.relative_to(folder).as_posix()] = status.st_size, status.st_mtime_ns, status.st_ino
    return dict(sorted(statuses.items()))
