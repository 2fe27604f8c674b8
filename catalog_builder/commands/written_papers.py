"""The papers of one quote or order, written into a folder of their own, which replaces the earlier one."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from catalog_builder.cache.atomic_file import replace_file
from catalog_builder.mistake import OutputError


def write_papers(folder: Path, papers: Mapping[str, bytes]) -> None:
    """Write files by their names in a folder, and take away pages of before that are not among them.

    Raises:
        OutputError: one cannot be written; those that were written stand.
    """
    try:
        for name, data in papers.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            replace_file(path, data)
        for old in folder.glob("private/cards/*.html"):
            if old.relative_to(folder).as_posix() not in papers:
                old.unlink()
    except OSError as fault:
        raise OutputError(fault.errno, fault.strerror or str(fault), fault.filename) from None
