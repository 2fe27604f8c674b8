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
    shown = path.relative_to(project).as_posix()
    home = path.relative_to(project).parts[0]
    try:
        if not stays_in(path, project / home if path != project / home else project):
            raise _mistake(
                shown,
                f"a link leads out of {home}/",
                f"a file that lies in {home}/ itself",
                "copy the file there in place of the link",
            )
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise _mistake(shown, "this is a folder, not a file", f"a file at {shown}", "rename or move the folder")
        if not stat.S_ISREG(status.st_mode):
            raise _mistake(shown, "this is a pipe or a device, not a file", f"a file at {shown}", "take it away")
        if status.st_size > most_bytes:
            raise _too_large(shown, status.st_size, most_bytes)
        with path.open("rb") as file:
            data = file.read(most_bytes + 1)
    except FileNotFoundError:
        mend = "put the file there, or run `catalog-builder begin` to lay out a fresh folder"
        raise _mistake(shown, "the file is missing", f"a file at {shown}", mend) from None
    except OSError as error:
        raise _mistake(
            shown,
            f"the file cannot be read ({error.strerror})",
            "a file that this user may read",
            "close it in other programs and check its permissions",
        ) from None
    if len(data) > most_bytes:
        raise _too_large(shown, len(data), most_bytes)
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
                Place(path=path.relative_to(project).as_posix()),
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
    shown = folder.relative_to(project).as_posix()
    try:
        entries = list(islice(folder.iterdir(), MOST_ENTRIES + 1)) if is_there(folder) else []
    except OSError as error:
        wrong = f"the folder cannot be read ({error.strerror})"
        raise _mistake(shown, wrong, "a folder that this user may read", "check it and its permissions") from None
    if len(entries) > MOST_ENTRIES:
        wrong = f"the folder holds more than {MOST_ENTRIES} files and folders"
        raise _mistake(shown, wrong, "those that you use", "check that this is the folder you meant")
    # Editors and systems keep files and folders of their own, whose names begin with a point.
    return sorted(path for path in entries if not path.name.startswith("."))


def names_in(folder: Path) -> list[str]:
    """Give the names in a folder, for a hint; none where it cannot be listed."""
    try:
        return sorted(path.name for path in islice(folder.iterdir(), MOST_ENTRIES))
    except OSError:
        return []


def _too_large(shown: str, size: int, most_bytes: int) -> MistakeError:
    most = f"{most_bytes / 1e6:.0f} MB" if most_bytes >= 1e6 else f"{most_bytes / 1e3:.0f} kB"
    return _mistake(
        shown,
        f"the file is too large: {size / 1e6:.1f} MB",
        f"a text file of at most {most}",
        "check that this is the file you meant; keep pictures out of text files",
    )


def _mistake(shown: str, wrong: str, expected: str, mend: str) -> MistakeError:
    return MistakeError.at(Place(path=shown), wrong=wrong, expected=expected, mend=mend)
