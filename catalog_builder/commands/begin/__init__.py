"""A fresh project folder with a worked example to change."""

from __future__ import annotations

from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from catalog_builder.mistake import Mistake, MistakeError, Place


def lay_out(folder: Path) -> tuple[str, ...]:
    """Write the worked example into a folder, and give the paths of its files.

    Raises:
        MistakeError: the folder already holds content; nothing is written then.
    """
    if (folder / "content").exists():
        raise MistakeError(
            [
                Mistake(
                    place=Place(path=(folder / "content").as_posix()),
                    wrong="there is a content folder already",
                    expected="a new or empty folder",
                    mend="choose another folder; nothing was changed in this one",
                )
            ]
        )
    example = files("catalog_builder.commands.begin").joinpath("example")
    written = tuple(sorted(_copied(example, folder, "")))
    (folder / "site_output").mkdir(parents=True, exist_ok=True)
    return written


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
