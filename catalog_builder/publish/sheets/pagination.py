"""Parts of a long paper, each a file of its own: memory holds one at a time, and only changed parts are made again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from pathlib import PurePosixPath
from typing import TypeVar

from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.views import LinkView

# So many designs stand on 40 sheets of paper or on a page of 3 MB, and are set within about 150 MB of memory.
PART = 200

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class SheetPart:
    """A part by its number, counted from 1, and how many there are."""

    number: int = 1
    count: int = 1

    def name(self, file: str) -> str:
        """Give the name of the part's file: ``prices.pdf``, ``prices-2.pdf`` and so on."""
        path = PurePosixPath(file)
        return file if self.number == 1 else str(path.with_stem(f"{path.stem}-{self.number}"))

    def words(self, theme: Theme) -> str:
        """Give the words for which part it is; empty for the whole."""
        return theme.words("parts", "part", number=self.number, count=self.count) if self.count > 1 else ""

    def titled(self, theme: Theme, title: str) -> str:
        """Name a part of a paper by its title."""
        return f"{title}: {self.words(theme)}" if self.count > 1 else title

    def links(self, theme: Theme, file: str, begins: Sequence[str] = ()) -> tuple[LinkView, ...]:
        """Give links to all parts, where there are several; ``begins`` says what each begins with, if that is known."""
        if self.count == 1:
            return ()
        parts = [SheetPart(number, self.count) for number in range(1, self.count + 1)]
        texts = [part.words(theme) for part in parts]
        if begins:
            texts = [
                theme.words("parts", "begins", number=part.number, title=title)
                for part, title in zip(parts, begins, strict=True)
            ]
        return tuple(
            LinkView(text=text, href=part.name(file), current=part == self)
            for text, part in zip(texts, parts, strict=True)
        )


WHOLE = SheetPart()


def in_parts(things: Sequence[T], most: int | None = None) -> list[tuple[SheetPart, Sequence[T]]]:
    """Cut a sequence into parts of so many, ``PART`` where nothing is said; of nothing there is one part, and empty."""
    most = most or PART
    count = max(1, ceil(len(things) / most))
    return [(SheetPart(at + 1, count), things[at * most : (at + 1) * most]) for at in range(count)]
