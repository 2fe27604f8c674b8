"""A file or folder of the maker's on the disk, and what may be read at all.

What is read lies inside the folder that it belongs to (``content/`` or ``themes/``), also once every link is followed;
it is a plain file, never a pipe or a device, whose end might never come; and it is no larger than its limit.
"""

from __future__ import annotations

import os
import stat
from itertools import islice
from pathlib import Path

from catalog_builder.mistake import MistakeError, Mistakes, Place

# Far more folders and files than a guild's products need; each product is read, measured and priced.
MOST_ENTRIES = 20_000


def is_there(path: Path) -> bool:
    """Whether a name is taken; also by a link that leads nowhere, which is refused when it is read."""
    return os.path.lexists(path)


def stays_in(path: Path, folder: Path) -> bool:
    """Whether a path is inside a folder once all links are followed."""
    try:
        return path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError, ValueError):  # a link that leads back to itself, a name that cannot be one
        return False


def bytes_of(project: Path, path: Path, most_bytes: int) -> bytes:
    """Give the bytes of a file below a project's folder.

    Raises:
        MistakeError: it is missing, leads out of the folder that it belongs to, is no plain file, is too large, or may
            not be read.
    """
    place = _place(project, path)
    expected = f"a file at {place}"
    home = path.relative_to(project).parts[0]
    try:
        if not stays_in(path, project / home if path != project / home else project):
            raise MistakeError.at(
                place,
                wrong=f"a link leads out of {home}/",
                expected=f"a file that lies in {home}/ itself",
                mend="copy the file there in place of the link",
            )
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            wrong, mend = "this is a folder, not a file", "rename or move the folder"
            raise MistakeError.at(place, wrong=wrong, expected=expected, mend=mend)
        if not stat.S_ISREG(status.st_mode):
            wrong = "this is a pipe or a device, not a file"
            raise MistakeError.at(place, wrong=wrong, expected=expected, mend="take it away")
        if status.st_size > most_bytes:
            raise _too_large(place, status.st_size, most_bytes)
        with path.open("rb") as file:
            data = file.read(most_bytes + 1)
    except FileNotFoundError:
        mend = "put the file there, or run `catalog-builder begin` to lay out a fresh folder"
        raise MistakeError.at(place, wrong="the file is missing", expected=expected, mend=mend) from None
    except OSError as error:
        raise MistakeError.at(
            place,
            wrong=f"the file cannot be read ({error.strerror})",
            expected="a file that this user may read",
            mend="close it in other programs and check its permissions",
        ) from None
    if len(data) > most_bytes:
        raise _too_large(place, len(data), most_bytes)
    return data


def folders_in(project: Path, folder: Path) -> list[Path]:
    """Give the folders in a folder in order of their names, without hidden ones and plain files.

    Raises:
        MistakeError: it cannot be listed, holds too many entries, or one that is neither a file nor a folder.
    """
    visible = _visible(project, folder)
    # The methods of Path raise where a folder may not be entered.
    mistakes = Mistakes()
    for path in visible:
        if not (os.path.isdir(path) or os.path.isfile(path)):  # noqa: PTH112, PTH113
            mistakes.add(
                _place(project, path),
                wrong="this is neither a file nor a folder, or a link that leads nowhere",
                expected="a folder for each product",
                mend="take it away",
            )
    mistakes.raise_if_any()
    return [path for path in visible if os.path.isdir(path)]  # noqa: PTH112


def files_in(project: Path, folder: Path, suffix: str) -> list[Path]:
    """Give what is in a folder under names with an ending, in order, without hidden ones; it may be missing.

    Raises:
        MistakeError: it cannot be listed, or holds too many entries.
    """
    return [path for path in _visible(project, folder) if path.name.endswith(suffix)]


def _visible(project: Path, folder: Path) -> list[Path]:
    place = _place(project, folder)
    try:
        entries = list(islice(folder.iterdir(), MOST_ENTRIES + 1)) if is_there(folder) else []
    except OSError as error:
        raise MistakeError.at(
            place,
            wrong=f"the folder cannot be read ({error.strerror})",
            expected="a folder that this user may read",
            mend="check it and its permissions",
        ) from None
    if len(entries) > MOST_ENTRIES:
        wrong = f"the folder holds more than {MOST_ENTRIES} files and folders"
        mend = "check that this is the folder you meant"
        raise MistakeError.at(place, wrong=wrong, expected="those that you use", mend=mend)
    # Editors and systems keep files and folders of their own, whose names begin with a point.
    return sorted(path for path in entries if not path.name.startswith("."))


def names_in(folder: Path) -> list[str]:
    """Give the names in a folder, for a hint; none where it cannot be listed."""
    try:
        return sorted(path.name for path in islice(folder.iterdir(), MOST_ENTRIES))
    except OSError:
        return []


def _too_large(place: Place, size: int, most_bytes: int) -> MistakeError:
    most = f"{most_bytes / 1e6:.0f} MB" if most_bytes >= 1e6 else f"{most_bytes / 1e3:.0f} kB"
    return MistakeError.at(
        place,
        wrong=f"the file is too large: {size / 1e6:.1f} MB",
        expected=f"a text file of at most {most}",
        mend="check that this is the file you meant; keep pictures out of text files",
    )


def _place(project: Path, path: Path) -> Place:
    return Place(path=path.relative_to(project).as_posix())
