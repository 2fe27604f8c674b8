"""A theme from elsewhere: what its folder may hold, so that it brings nothing of the maker's along."""

from __future__ import annotations

from itertools import islice
from pathlib import Path

from catalog_builder.mistake import Mistake, MistakeError, Place
from catalog_builder.records.reading.file import stays_in

MOST_FILES = 2_000
MOST_BYTES = 200_000_000


def hold_folder(root: Path, folder: Path) -> None:
    """Look through a theme's folder before anything of it is read or published.

    Raises:
        MistakeError: a link leads out of the folder of themes, something is neither a file nor a folder, or there is
            more of it than a theme can be.
    """
    paths = sorted(islice(folder.rglob("*"), MOST_FILES + 1))
    strange = [path for path in paths if not stays_in(path, root) or not (path.is_dir() or path.is_file())]
    mistakes = [
        Mistake(
            place=Place(path=path.relative_to(root.parent).as_posix()),
            wrong=f"this leads out of {root.name}/, or is neither a file nor a folder",
            expected="plain files, which the theme brings with it",
            mend="put the file itself there, or take it away",
        )
        for path in strange
    ]
    if not strange and (len(paths) > MOST_FILES or sum(path.stat().st_size for path in paths) > MOST_BYTES):
        mistakes.append(
            Mistake(
                place=Place(path=folder.relative_to(root.parent).as_posix()),
                wrong="the theme's folder holds more than a theme can be",
                expected=f"up to {MOST_FILES} files of {MOST_BYTES // 1_000_000} MB together",
                mend="take out of it what is no part of the theme",
            )
        )
    if mistakes:
        raise MistakeError(mistakes)
