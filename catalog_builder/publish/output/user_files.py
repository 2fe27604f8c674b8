"""The maker's own files in a published folder: carried over, or saved beside it where a build needs their name."""

from __future__ import annotations

import filecmp
import os
import shutil
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from itertools import count
from pathlib import Path, PurePosixPath
from typing import NoReturn
from unicodedata import normalize

from catalog_builder.cache.atomic_file import digest_of
from catalog_builder.publish.output.build_record import MADE, FileRecord, is_plain
from catalog_builder.publish.output.removal import is_folder, name_exists


@dataclass(frozen=True, slots=True)
class UserFiles:
    """Names of what the maker put into a folder: ``free`` ones, and those that are ``taken`` by what is published."""

    free: tuple[str, ...]
    taken: tuple[str, ...]


def names_in(folder: Path) -> Iterator[str]:
    """Give all that a folder holds by its path in it: files, links, and folders with nothing in them.

    Raises:
        OSError: a folder in it cannot be looked into.
    """
    for place, folders, files in os.walk(folder, onerror=_raise):
        inside = Path(place).relative_to(folder)
        links = [name for name in folders if Path(place, name).is_symlink()]
        yield from ((inside / name).as_posix() for name in (*files, *links))
        if not folders and not files and inside != Path():
            yield inside.as_posix()


def _raise(error: OSError) -> NoReturn:
    raise error


def find_user_files(
    folder: Path, names: Collection[str], before: Mapping[str, str], new_files: Mapping[str, FileRecord]
) -> UserFiles:
    """Find the maker's own files among all ``names`` of a folder.

    ``before`` is what a build made there, by name, with its digest; ``new_files`` what is about to replace it.
    Names that differ only in case, or in how an accent is written, are one name on many disks, and so count as one.
    """
    own_names = sorted(set(names) - before.keys() - {MADE})
    if not own_names:
        return UserFiles((), ())
    built_names, files = {folded(name): name for name in before}, {folded(name): name for name in new_files}
    folders = {parent for name in files for parent in _parents(name)}
    free, taken = list[str](), list[str]()
    for name in own_names:
        key = folded(name)
        other = built_names.get(key)
        if other is not None and other not in names and name_exists(folder / other):
            continue  # it is what the build made, under another spelling of its name
        new_name = files.get(key)
        if new_name is not None and _reads(folder / name, new_files[new_name].digest):
            continue
        if key in folders and is_folder(folder / name):
            continue
        in_the_way = new_name is not None or key in folders or any(parent in files for parent in _parents(key))
        (taken if in_the_way else free).append(name)
    return UserFiles(tuple(free), tuple(taken))


def folded(name: str) -> str:
    """Give a form of a name that is the same for all names that some disks take for one."""
    return name.lower() if name.isascii() else normalize("NFC", normalize("NFC", name).casefold())


def _parents(name: str) -> list[str]:
    return [parent.as_posix() for parent in PurePosixPath(name).parents][:-1]


def _reads(path: Path, digest: str) -> bool:
    try:
        return is_plain(path) and digest_of(path.read_bytes()) == digest
    except OSError:
        return False


def link_or_copy(source: Path, target: Path) -> None:
    """Give a file, a link or an empty folder a second name, or copy it where it can have none. No link is followed.

    Raises:
        OSError: neither can be done.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    if is_folder(source):
        target.mkdir()
        return
    try:
        os.link(source, target, follow_symlinks=False)
    except FileExistsError:
        raise
    except (OSError, NotImplementedError):  # the disk knows no links, or the file may have no second name
        shutil.copy2(source, target, follow_symlinks=False)


def save_beside(source: Path, folder: Path, name: str = "") -> Path:
    """Link or copy a file into a folder for the maker beside a published one, and give its path there.

    Nothing that is there already is overwritten.

    Raises:
        OSError: it cannot be saved.
    """
    for number in count(1):
        place = folder.with_name(f"{folder.name} (yours{f' {number}' if number > 1 else ''})") / name
        if _same(source, place):
            return place
        try:
            if not name_exists(place):
                link_or_copy(source, place)
                return place
        except (FileExistsError, NotADirectoryError):  # a file stands where a folder of its path would be
            continue
    raise AssertionError  # numbers do not end


def is_saved_beside(name: str) -> bool:
    """True for a path in ``site_output`` that ``save_beside`` gave."""
    return " (yours" in name.partition("/")[0]


def _same(first: Path, other: Path) -> bool:
    if first.is_symlink() or other.is_symlink():
        return first.is_symlink() and other.is_symlink() and first.readlink() == other.readlink()
    if is_folder(first):
        return is_folder(other)
    return first.is_file() and other.is_file() and filecmp.cmp(first, other, shallow=False)
