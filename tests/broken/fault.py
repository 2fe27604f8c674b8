"""A fault: the sound studio's folder with one thing wrong, as its own folder here says.

``fault.toml`` holds ``about`` (what is wrong), the ``day`` of the build, and what is done to a copy of
``sound/content``, all paths counted from there: ``remove``, ``move``, ``link``, an ``[[edit]]`` for each text
that is found once and put otherwise, and ``recode`` for a file saved in another encoding. A folder
``content/`` holds whole files in place of sound ones, and ``themes/`` a theme of the maker's own. ``expected.txt`` is
the whole message.
"""

from __future__ import annotations

import shutil
import tomllib
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
SOUND = HERE / "sound" / "content"
DAY = date(2026, 7, 1)


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault by its folder: what is done to a sound studio, and the message that it must end in."""

    folder: Path
    plan: dict[str, Any]

    @property
    def day(self) -> date:
        """The day of the build."""
        day: date = self.plan.get("day", DAY)
        return day

    @property
    def expected(self) -> str:
        """The whole message."""
        return (self.folder / "expected.txt").read_text(encoding="utf-8")

    def commit(self, content: Path) -> None:
        """Lay a sound ``content/`` with this fault in it."""
        lay_sound(content)
        for name in self.plan.get("remove", ()):
            path = content / name
            shutil.rmtree(path) if path.is_dir() else path.unlink()
        for name, target in self.plan.get("move", {}).items():
            (content / name).rename(content / target)
        for name, target in self.plan.get("link", {}).items():
            (content / name).symlink_to(target)
        for edit in self.plan.get("edit", ()):
            path = content / edit["file"]
            text = path.read_text(encoding="utf-8")
            assert text.count(edit["find"]) == 1, f"{self.folder.name}: {edit['find']!r} does not stand once in {path}"
            path.write_text(text.replace(edit["find"], edit["put"]), encoding="utf-8")
        for name, encoding in self.plan.get("recode", {}).items():
            path = content / name
            path.write_bytes(path.read_text(encoding="utf-8").encode(encoding))
        if (self.folder / "content").is_dir():
            shutil.copytree(self.folder / "content", content, dirs_exist_ok=True)
        if (self.folder / "themes").is_dir():
            shutil.copytree(self.folder / "themes", content.parent / "themes")


def lay_sound(content: Path) -> None:
    """Lay a sound ``content/`` in place of what is there, and no theme beside it."""
    for folder in (content, content.parent / "themes"):
        if folder.exists():
            shutil.rmtree(folder)
    shutil.copytree(SOUND, content)


def faults() -> list[Fault]:
    """Give every fault in order of its name."""
    return [
        Fault(path.parent, tomllib.loads(path.read_text(encoding="utf-8")))
        for path in sorted(HERE.glob("*/fault.toml"))
    ]
