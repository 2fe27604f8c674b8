"""A product's record taken apart, so that an edit can change one thing in it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import yaml

_DRAWING = re.compile(r"```svg.*?\n```", re.DOTALL)


class Record:
    """The header of a ``product.md`` as values, and what stands below it as text."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / "product.md"
        head, self.body = self.path.read_text(encoding="utf-8").removeprefix("---\n").split("\n---\n", 1)
        self.keys: dict[str, Any] = yaml.safe_load(head)

    @property
    def photos(self) -> list[dict[str, Any]]:
        """The photos that it names."""
        return self.keys.get("photos") or []

    @property
    def drawing(self) -> str:
        """The first drawing in it, fences and all; empty where it names a file."""
        found = _DRAWING.search(self.body)
        return found.group() if found else ""

    @property
    def prose(self) -> str:
        """The description."""
        return _DRAWING.sub("", self.body)

    def redraw(self, drawing: str) -> None:
        """Put another drawing in the first one's place."""
        self.body = self.body.replace(self.drawing, drawing, 1)

    def write(self) -> None:
        """Write the record."""
        head = yaml.safe_dump(self.keys, sort_keys=False, allow_unicode=True, width=1000)
        self.path.write_text(f"---\n{head}---\n{self.body}", encoding="utf-8", newline="\n")
