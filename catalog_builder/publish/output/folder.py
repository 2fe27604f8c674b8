"""A published folder: written whole beside the old one, then put in its place.

A file that is as it was is linked over, so that it keeps its date and costs nothing. Whatever the maker put into the
folder by hand is carried over, or saved beside it where a build needs its name, and never deleted.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from catalog_builder.cache.atomic_file import CACHE_FOLDER, digest_of
from catalog_builder.publish.output.build_record import (
    MADE,
    FileRecord,
    is_plain,
    read_made,
    read_seen,
    write_made,
    write_seen,
)
from catalog_builder.publish.output.folder_swap import swap_folders
from catalog_builder.publish.output.removal import clear, is_folder, name_exists
from catalog_builder.publish.output.user_files import find_user_files, link_or_copy, names_in, save_beside

# Others than the maker read these: on any machine a web server may read them, whoever the maker lets read new files.
PUBLIC = "catalogue"
# Pictures of faulty drawings in the bench's folder, which come and go without a build.
FAULTS = "faults"
Write = Callable[["Folder"], int]


class Folder:
    """One audience's folder of ``site_output/`` while it is being made."""

    def __init__(self, output: Path, name: str, on_file: Callable[[], None] = lambda: None) -> None:
        self.on_file = on_file
        self.final = output / name
        self.making = output / f".{name}-making"
        self.old = output / f".{name}-old"
        self.leftovers = output / CACHE_FOLDER / "left"
        self.last_seen_path = output / CACHE_FOLDER / "seen" / f"{name}.json"
        self.made: dict[str, FileRecord] = {}
        self.before: dict[str, str] = {}
        self.last_seen: dict[str, FileRecord] = {}
        self.written = 0
        self.swapped = self.exchanged = False

    @property
    def names(self) -> list[str]:
        """The names of the files that were made so far."""
        return list(self.made)

    def open(self) -> None:
        """Begin with an empty folder, and tidy up after a build that was stopped."""
        if is_folder(self.old) and not (self.final / MADE).is_file():
            self._bring_back()
        for leftover in (self.making, self.old):
            clear(leftover, self.leftovers)
        self.read_before()
        self.making.mkdir(parents=True)

    def read_before(self) -> None:
        """Read what the last build wrote into the folder that is published."""
        if is_folder(self.final):
            self.last_seen = read_seen(self.last_seen_path)
            self.before = read_made(self.final) or {name: record.digest for name, record in self.last_seen.items()}

    def _bring_back(self) -> None:
        """Give the old folder its place again, with what the maker or another command has put there since."""
        if is_folder(self.final) and (self.old / MADE).is_file():
            for name in self._published_names():
                if not name_exists(self.old / name):
                    link_or_copy(self.final / name, self.old / name)
                elif not is_folder(self.final / name):
                    save_beside(self.final / name, self.final, name)
            clear(self.final, self.leftovers)
        if not name_exists(self.final):
            self.old.rename(self.final)

    def write(self, name: str, data: bytes | str) -> None:
        """Write a file; ``name`` is its path inside the folder, with forward slashes."""
        whole = data.encode() if isinstance(data, str) else data
        digest = digest_of(whole)
        if not self.keep(name, digest):
            self.put_new(name, whole, digest)

    def put(self, name: str, digest: str, read: Callable[[], bytes]) -> None:
        """Write a file whose digest is known; ``read`` is called only where the old folder has not got it."""
        if not self.keep(name, digest):
            self.put_new(name, read(), digest)

    def make(self, name: str, key: str, make: Callable[[], bytes | str]) -> None:
        """Write a file whose key says all that it is made from; ``make`` is called only where the key is a new one."""
        last_seen = self.last_seen.get(name)
        if last_seen is None or last_seen.key != key or not self.keep(name, last_seen.digest):
            self.write(name, make())
        self.made[name] = replace(self.made[name], key=key)

    def text(self, name: str) -> str:
        """Read a file that was made."""
        return (self.making / name).read_text(encoding="utf-8")

    def keep(self, name: str, digest: str) -> bool:
        """Take a file over from the old folder, if it stands there and its bytes have this digest."""
        if self.before.get(name) != digest or not self._is_unchanged(name, digest) or not self.take_over(name, digest):
            return False
        self.on_file()
        return True

    def take_over(self, name: str, digest: str) -> bool:
        """Link a file over from the old folder; False where it can be neither linked nor copied."""
        path = self._room(name)
        try:
            os.link(self.final / name, path)
        except OSError:  # the disk knows no links, or the file has as many as it may
            try:
                shutil.copy2(self.final / name, path)
            except OSError:
                return False
        self.made[name] = FileRecord.of(path, digest)
        return True

    def _is_unchanged(self, name: str, digest: str) -> bool:
        """Whether a published file still has the bytes that were made: read again only if its size or date moved."""
        path, last_seen = self.final / name, self.last_seen.get(name)
        try:
            if not is_plain(path):
                return False
            return (last_seen is not None and last_seen.digest == digest and last_seen.is_at(path)) or (
                digest_of(path.read_bytes()) == digest
            )
        except OSError:
            return False

    def put_new(self, name: str, data: bytes, digest: str) -> None:
        """Write a file that is other than before."""
        path = self._room(name)
        path.write_bytes(data)
        self.made[name] = FileRecord.of(path, digest)
        self.written += 1
        self.on_file()

    def _room(self, name: str) -> Path:
        """Make room for a file. What has its name may be a link to one that is published: it is never written into."""
        path = self.making / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.unlink(missing_ok=True)
        return path

    def finish(self) -> tuple[str, ...]:
        """Complete the new folder, and give the paths in ``site_output`` of the maker's own files from now on."""
        user_paths = list[Path]()
        if is_folder(self.final):
            user_files = find_user_files(self.final, self._published_names(), self.before, self.made)
            for name in user_files.free:
                if not name_exists(self.making / name):
                    link_or_copy(self.final / name, self.making / name)
            user_paths += [self.final / name for name in user_files.free]
            user_paths += [save_beside(self.final / name, self.final, name) for name in user_files.taken]
        elif name_exists(self.final):
            user_paths.append(save_beside(self.final, self.final))
        write_made(self.making, self.made)
        if self.final.name == PUBLIC:
            self._open_to_all()
        return tuple(path.relative_to(self.final.parent).as_posix() for path in user_paths)

    def _open_to_all(self) -> None:
        """Let everybody read what was made, and enter its folders."""
        folders = {parent for name in self.made for parent in (self.making / name).parents if parent != self.making}
        for path in (self.making, *(folder for folder in folders if folder.is_relative_to(self.making))):
            _allow(path, 0o755)
        for name in self.made:
            _allow(self.making / name, 0o644)

    def _published_names(self) -> set[str]:
        """Give the names in the published folder, except pictures of faults, which a good build removes."""
        faults = f"{FAULTS}/" if self.final.name == "bench" else None
        return {
            name
            for name in names_in(self.final)
            if faults is None or not (f"{name}/" == faults or (name.startswith(faults) and name.endswith(".svg")))
        }

    def swap(self) -> None:
        """Put the new folder in the old one's place; the old one stays beside it until ``settle`` or ``undo``."""
        if not name_exists(self.final):
            self.making.replace(self.final)
        elif swap_folders(self.making, self.final):
            self.exchanged = True
        else:
            self.final.rename(self.old)
            self.making.replace(self.final)
        self.swapped = True

    def settle(self) -> None:
        """Remove the old folder, and remember the files. What another program holds open is left for the next build."""
        with suppress(OSError):
            clear(self.making if self.exchanged else self.old, self.leftovers)
        # The dates of a file's entry change when its other name is removed.
        files = {name: FileRecord.of(self.final / name, made.digest, made.key) for name, made in self.made.items()}
        write_seen(self.last_seen_path, files)

    def swap_back(self) -> None:
        """Give the old folder its place again, where it has lost it."""
        if self.exchanged and not swap_folders(self.making, self.final):
            self.making.rename(self.old)
            self.exchanged = False
        if self.swapped and not self.exchanged:
            self.final.rename(self.making)
        if name_exists(self.old) and not name_exists(self.final):
            self.old.rename(self.final)

    def drop(self) -> None:
        """Remove the new folder."""
        clear(self.making, self.leftovers)


def _allow(path: Path, rights: int) -> None:
    mode = path.stat().st_mode
    if mode & rights != rights:
        path.chmod(mode | rights)
