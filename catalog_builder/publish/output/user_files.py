"""The maker's own files in a published folder: found, brought along, and kept aside where a build needs their name."""

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
from catalog_builder.publish.output.removal import is_folder, stands


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
    for place, folders, files in os.walk(folder, onerror=_tell):
        inside = Path(place).relative_to(folder)
        links = [name for name in folders if Path(place, name).is_symlink()]
        yield from ((inside / name).as_posix() for name in (*files, *links))
        if not folders and not files and inside != Path():
            yield inside.as_posix()


def _tell(fault: OSError) -> NoReturn:
    raise fault


def find_user_files(
    folder: Path, names: Collection[str], before: Mapping[str, str], made: Mapping[str, FileRecord]
) -> UserFiles:
    """Part the maker's own from all ``names`` of a folder.

    ``before`` is what a build made there, by name, with its digest; ``made`` what one is about to put in its place.
    Names that differ only in case, or in how an accent is written, are one name on many disks, and so count as one.
    """
    there = sorted(set(names) - before.keys() - {MADE})
    if not there:
        return UserFiles((), ())
    built, files = {folded(name): name for name in before}, {folded(name): name for name in made}
    folders = {parent for name in files for parent in _parents(name)}
    free, taken = list[str](), list[str]()
    for name in there:
        key = folded(name)
        other = built.get(key)
        if other is not None and other not in names and stands(folder / other):
            continue  # it is what the build made, under another spelling of its name
        wanted = files.get(key)
        if wanted is not None and _reads(folder / name, made[wanted].digest):
            continue
        if key in folders and is_folder(folder / name):
            continue
        bound = wanted is not None or key in folders or any(parent in files for parent in _parents(key))
        (taken if bound else free).append(name)
    return UserFiles(tuple(free), tuple(taken))


def folded(name: str) -> str:
    """Give what is the same for all names that some disks take for one."""
    return name.lower() if name.isascii() else normalize("NFC", normalize("NFC", name).casefold())


def _parents(name: str) -> list[str]:
    return [parent.as_posix() for parent in PurePosixPath(name).parents][:-1]


def _reads(path: Path, digest: str) -> bool:
    try:
        return is_plain(path) and digest_of(path.read_bytes()) == digest
    except OSError:
        return False


def bring(source: Path, target: Path) -> None:
    """Let a file, a link or an empty folder stand in a second place too. No link is followed.

    Raises:
        OSError: it cannot be.
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


def keep_aside(source: Path, beside: Path, name: str = "") -> Path:
    """Let a file stand in a folder that is the maker's, beside a published one, and give where.

    What stands there already is never written over.

    Raises:
        OSError: it cannot be.
    """
    for number in count(1):
        place = beside.with_name(f"{beside.name} (yours{f' {number}' if number > 1 else ''})") / name
        if _same(source, place):
            return place
        try:
            if not stands(place):
                bring(source, place)
                return place
        except (FileExistsError, NotADirectoryError):  # a file stands where a folder of its path would be
            continue
    raise AssertionError  # numbers do not end


def is_aside(name: str) -> bool:
    """Say whether a path in ``site_output`` is of what was kept aside."""
    return " (yours" in name.partition("/")[0]


def _same(one: Path, other: Path) -> bool:
    if one.is_symlink() or other.is_symlink():
        return one.is_symlink() and other.is_symlink() and one.readlink() == other.readlink()
    if is_folder(one):
        return is_folder(other)
    return one.is_file() and other.is_file() and filecmp.cmp(one, other, shallow=False)
