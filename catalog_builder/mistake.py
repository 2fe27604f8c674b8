"""A mistake in the maker's files is a value; this module alone words it for the reader."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where something stands: a path from the project's folder, a line from 1, and the line's own text."""

    path: str
    line: int | None = None
    text: str | None = None

    def __str__(self) -> str:
        return self.path if self.line is None else f"{self.path}:{self.line}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mistake:
    """Something that stops a build. ``marked`` is the part of the line to underline, if it is known."""

    place: Place
    wrong: str
    expected: str
    mend: str
    marked: str | None = None

    def worded(self) -> str:
        """Give the five parts: place, what is wrong, the source line, what was expected, how to mend it."""
        parts = [f"{self.place}: {self.wrong}"]
        if self.place.line is not None and self.place.text is not None and self.place.text.strip():
            shown = self.place.text.replace("\t", " ").rstrip()
            at = shown.find(self.marked) if self.marked else -1
            if len(shown) > 110:
                start = max(0, min(at, len(shown) - 110)) if at >= 0 else 0
                shown = shown[start : start + 110]
                at = shown.find(self.marked) if self.marked else -1
            parts.append(f"{self.place.line:>6} | {shown}")
            if at >= 0 and self.marked:
                width = max(1, min(len(self.marked), len(shown) - at))
                parts.append(f"       | {' ' * at}{'^' * width}")
        parts.append(f"  expected: {self.expected}")
        parts.append(f"  mend:     {self.mend}")
        return "\n".join(parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something worth the maker's eye that does not stop a build. ``code`` is stable, such as ``P02``."""

    code: str
    place: Place
    text: str
    advice: str

    def worded(self) -> str:
        """Give the finding on two lines: what was seen and what could be done."""
        return f"{self.code} {self.place}: {self.text}\n     {self.advice}"


class MistakeError(Exception):
    """Carries every mistake found in one file or one stage. Never empty."""

    def __init__(self, mistakes: Iterable[Mistake]) -> None:
        self.mistakes: tuple[Mistake, ...] = tuple(sorted(mistakes, key=_order))
        super().__init__("\n".join(mistake.worded() for mistake in self.mistakes))


def _order(mistake: Mistake) -> tuple[str, int, str]:
    return mistake.place.path, mistake.place.line or 0, mistake.wrong


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Give the known word that is spelled most like ``word``, or None where none is close."""
    close = difflib.get_close_matches(word, sorted(known), n=1, cutoff=0.7)
    return close[0] if close else None


def listed(words: Iterable[str], most: int = 12) -> str:
    """Give words in alphabetical order as one phrase, cut after ``most`` of them."""
    ordered = sorted(words)
    shown = ", ".join(ordered[:most])
    return f"{shown} and {len(ordered) - most} more" if len(ordered) > most else shown


def summary(mistakes: Sequence[Mistake]) -> str:
    """Say how many mistakes stand in how many files, and that nothing was written."""
    files = len({mistake.place.path for mistake in mistakes})
    one = "1 mistake" if len(mistakes) == 1 else f"{len(mistakes)} mistakes"
    where = "1 file" if files == 1 else f"{files} files"
    return f"{one} in {where}. Nothing was written."
