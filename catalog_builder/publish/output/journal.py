"""The journal of folders that change places: a build that is ended between two of them is finished by the next command.

Before the first folder changes its place the journal names them all, each with the digest of its list of files; after
the last one it is removed. Until then every new folder is whole.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from catalog_builder.cache.atomic_file import CACHE_FOLDER, digest_of, replace_file
from catalog_builder.cache.build_state import AUDIENCES, JOURNAL
from catalog_builder.publish.output.build_record import MADE, FileRecord, read_made
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.output.removal import clear


class Journal:
    """The journal of an output, a file that stands only while folders change places."""

    def __init__(self, output: Path) -> None:
        self.output = output
        self.path = output / CACHE_FOLDER / JOURNAL

    @property
    def is_open(self) -> bool:
        """Whether a build was ended while folders changed places."""
        return self.path.is_file()

    def write(self, folders: Iterable[Folder]) -> None:
        """Name the folders that are about to change places.

        A cache that was deleted meanwhile is made again. Where the journal cannot be written, as on a full disk, the
        folders change places without it: the journal only helps where the build is killed just then.
        """
        lists = {folder.final.name: _list_of(folder.making) for folder in folders}
        with suppress(OSError):
            self.path.parent.mkdir(parents=True, exist_ok=True)
            replace_file(self.path, json.dumps(lists).encode())

    def remove(self) -> None:
        """Note that every folder is in its place."""
        with suppress(OSError):
            self.path.unlink(missing_ok=True)

    def finish(self) -> None:
        """Put every new folder in its place that is not there yet, with what the maker has put into the old one since.

        Raises:
            OSError: a folder cannot be put in its place; the journal stays.
        """
        named = self._folders()
        waiting = [(folder, files) for folder, files in named if _list_of(folder.final) != files]
        whole = all(_list_of(folder.making) == files for folder, files in waiting)
        for folder, _ in waiting if whole else ():
            folder.read_before()
            folder.made = {name: FileRecord(digest, 0, 0) for name, digest in read_made(folder.making).items()}
            folder.finish()
            folder.swap()
        self.remove()
        for folder, _ in named if whole else ():
            for path in (folder.making, folder.old):
                with suppress(OSError):
                    clear(path, folder.leftovers)

    def _folders(self) -> list[tuple[Folder, str]]:
        try:
            lists = json.loads(self.path.read_text(encoding="utf-8"))
            return [(Folder(self.output, name), str(lists[name])) for name in AUDIENCES if name in lists]
        except (OSError, ValueError, TypeError):
            return []


def _list_of(folder: Path) -> str:
    """Give the digest of a folder's list of files; an empty one where there is none."""
    try:
        return digest_of((folder / MADE).read_bytes())
    except OSError:
        return ""
