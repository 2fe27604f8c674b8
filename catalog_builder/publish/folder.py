"""A published folder: written whole beside the old one, then put in its place.

Whatever the maker put into it by hand is carried over and never deleted.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path

# Pictures of faulty drawings, which come and go without a build.
FAULTS = "faults"
MADE = ".made-by-catalog-builder.json"


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
