"""A published folder: written whole beside the old one, then put in its place.

Whatever the maker put into it by hand is carried over and never deleted.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

# Pictures of faulty drawings, which come and go without a build.
FAULTS = "faults"
MADE = ".made-by-catalog-builder.json"


Write = Callable[["Folder"], int]


def publish_together(output: Path, writers: Mapping[str, Write], tell: Callable[[int], None]) -> Outcome:
    """Write a folder for each name of ``writers``, and put all in place once all are whole, or none.

    A writer gives the count of its pages; ``tell`` is called with the count of folders that are written.
    """
    folders = {name: Folder(output, name) for name in writers}
    pages, carried = 0, list[str]()
    try:
        for count, (name, folder) in enumerate(folders.items(), 1):
            folder.open()
            pages += writers[name](folder)
            tell(count)
        for name, folder in folders.items():
            carried.extend(f"{name}/{kept}" for kept in folder.finish())
        for folder in folders.values():
            folder.swap()
    except BaseException:
        for folder in folders.values():
            folder.undo()
        raise
    for folder in folders.values():
        folder.settle()
    return Outcome(pages, tuple(carried))


@dataclass(frozen=True, slots=True)
class Outcome:
    """How many pages were published, and which files of the maker's own were carried over."""

    pages: int
    carried_over: tuple[str, ...]


class Folder:
    """One audience's folder of ``site_output/`` while it is being made."""

    def __init__(self, output: Path, name: str) -> None:
        self.final = output / name
        self.making = output / f".{name}-making"
        self.old = output / f".{name}-old"
        self.names: list[str] = []
        self.opened = self.swapped = False

    def open(self) -> None:
        """Begin with an empty folder, and put right what a build that was cut short left behind."""
        if self.old.exists() and not self.final.exists():
            self.old.rename(self.final)
        for leftover in (self.making, self.old):
            if leftover.exists():
                shutil.rmtree(leftover)
        self.making.mkdir(parents=True)
        self.opened = True

    def write(self, name: str, data: bytes | str) -> None:
        """Write a file; ``name`` is its path inside the folder, with forward slashes."""
        path = self.making / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data.encode() if isinstance(data, str) else data)
        self.names.append(name)

    def finish(self) -> tuple[str, ...]:
        """Make the new folder whole, and give the names of files that were carried over into it."""
        kept = self._kept()
        for name in kept:
            target = self.making / name
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(self.final / name, target)
        made = json.dumps(sorted(self.names), indent=0, ensure_ascii=False)
        (self.making / MADE).write_text(made + "\n", encoding="utf-8")
        return kept

    def swap(self) -> None:
        """Put the new folder in the old one's place; the old one is kept beside it until all is well."""
        if self.final.exists():
            self.final.rename(self.old)
        self.making.replace(self.final)
        self.swapped = True

    def settle(self) -> None:
        """Let go of the old folder. What another program holds open is left for the next build to clear away."""
        shutil.rmtree(self.old, ignore_errors=True)

    def undo(self) -> None:
        """Throw away what was made; the old folder stands as it was, or comes back."""
        if self.swapped:
            self.final.rename(self.making)
        if self.opened and self.old.exists() and not self.final.exists():
            self.old.rename(self.final)
        shutil.rmtree(self.making, ignore_errors=True)

    def _kept(self) -> tuple[str, ...]:
        """Find files in the old folder that no build made. A name that is made anew belongs to the build."""
        if not self.final.exists():
            return ()
        try:
            made = set(json.loads((self.final / MADE).read_text(encoding="utf-8")))
        except (OSError, ValueError):
            made = set()
        there = {path.relative_to(self.final).as_posix() for path in self.final.rglob("*") if path.is_file()}
        there = {name for name in there if not name.startswith(f"{FAULTS}/")}
        return tuple(sorted(there - made - set(self.names) - {MADE}))
