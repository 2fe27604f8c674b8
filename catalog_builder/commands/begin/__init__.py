"""A fresh project folder with a worked example to change."""

from __future__ import annotations

import secrets
import shutil
from contextlib import suppress
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from catalog_builder.commands.disk_faults import reason_of
from catalog_builder.mistake import MistakeError, Place


def lay_out(folder: Path) -> tuple[str, ...]:
    """Write the worked example into a folder, and give the paths of its files.

    Raises:
        MistakeError: the folder already holds content, or cannot be written; it is then as it was before.
    """
    if _exists(folder / "content"):
        raise _refused(
            folder / "content",
            "there is a content folder already",
            "a new or empty folder",
            "choose another folder; nothing was changed in this one",
        )
    new_parents = [parent for parent in (folder, *folder.parents) if not _exists(parent)]
    try:
        return _laid_out_whole(folder)
    except OSError as fault:
        for parent in new_parents:  # the innermost first; one that somebody else uses by now is not empty and stays
            with suppress(OSError):
                parent.rmdir()
        why, mend = reason_of(fault)
        raise _refused(
            folder, f"the example cannot be laid out there: {why}", "a folder that you may write", mend
        ) from None


def _laid_out_whole(folder: Path) -> tuple[str, ...]:
    """Write the example beside its place first: a disk that is full leaves no half folder behind."""
    folder.mkdir(parents=True, exist_ok=True)
    workplace = folder / f".{secrets.token_hex(6)}"
    workplace.mkdir()
    try:
        names = _copied(files("catalog_builder.commands.begin").joinpath("example"), workplace, "")
        (workplace / "content").rename(folder / "content")
    finally:
        shutil.rmtree(workplace, ignore_errors=True)
    (folder / "site_output").mkdir(exist_ok=True)
    return tuple(sorted(names))


def _copied(source: Traversable, folder: Path, prefix: str) -> list[str]:
    names = []
    for entry in source.iterdir():
        name = f"{prefix}{entry.name}"
        if entry.is_dir():
            names.extend(_copied(entry, folder, f"{name}/"))
        else:
            target = folder / name
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(entry.read_bytes())
            names.append(name)
    return names


def _exists(path: Path) -> bool:
    """True for what exists, a link that leads nowhere included; False where the system cannot tell."""
    try:
        path.lstat()
    except OSError:
        return False
    return True


def _refused(path: Path, wrong: str, expected: str, mend: str) -> MistakeError:
    return MistakeError.at(Place(path=path.as_posix()), wrong=wrong, expected=expected, mend=mend)
