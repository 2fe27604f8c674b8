"""Mistakes in the maker's files and findings about them, as values, and how a mistake is printed."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import ParamSpec, TypeVar

from catalog_builder.phrase import Phrase, Value, phrase

Params = ParamSpec("Params")
Result = TypeVar("Result")

# How many characters of a line of the file, and of a sentence, are printed.
LINE_SHOWN = 110
TEXT_SHOWN = 600
# A line may be as long as a file; only this many characters on either side of the marked part are searched.
LINE_READ = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place in a file: a path from the project's folder, a line from 1, and the line's own text."""

    path: str
    line: int | None = None
    text: str | None = None

    def __str__(self) -> str:
        return self.path if self.line is None else f"{self.path}:{self.line}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mistake:
    """Something that stops a build.

    ``marked`` is the part of the line to underline, ``spot`` the place in the drawing's own coordinates, if known.
    """

    place: Place
    wrong: str
    expected: str
    mend: str
    marked: str | None = None
    spot: tuple[float, float] | None = None

    def worded(self) -> str:
        """Give the five parts: place, what is wrong, the source line, what was expected, how to mend it."""
        parts = [_plain(f"{self.place}: {self.wrong}")]
        # A line without letters or digits, such as one of dashes, helps nobody.
        if self.place.line is not None and any(character.isalnum() for character in self.place.text or ""):
            excerpt, start, width = _excerpt(self.place.text or "", self.marked or "")
            parts.append(f"{self.place.line:>6} | {excerpt}")
            if width:
                parts.append(f"       | {' ' * start}{'^' * width}")
        parts.append(f"  expected: {_plain(self.expected)}")
        parts.append(f"  mend:     {_plain(self.mend)}")
        return "\n".join(parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something that the maker should look at and that does not stop a build. ``code`` is stable, such as ``P02``."""

    code: str
    place: Place
    text: Phrase
    advice: Phrase

    @classmethod
    def of(cls, code: str, place: Place, key: str, /, **values: Value) -> Finding:
        """Make a finding by the key of its label, filled with ``values``; the label ``KEY_advice`` says what to do."""
        return cls(code=code, place=place, text=phrase(key, **values), advice=phrase(key + "_advice", **values))


@dataclass(frozen=True, slots=True, kw_only=True)
class WordedFinding:
    """A finding in the studio's language, as pages and the terminal show it."""

    code: str
    place: Place
    text: str
    advice: str

    def worded(self) -> str:
        """Give the finding on two lines: what it is and what can be done."""
        return f"{self.code} {self.place}: {self.text}\n     {self.advice}"


class OutputError(OSError):
    """The output cannot be written: the disk is full, a folder is closed, or another build is writing it."""


class MistakeError(Exception):
    """Carries every mistake of one file or one stage, each once, in order of their places. Never empty."""

    def __init__(self, mistakes: Iterable[Mistake]) -> None:
        # A file that two records name is read twice, with the same mistakes.
        self.mistakes: tuple[Mistake, ...] = tuple(sorted(dict.fromkeys(mistakes), key=_order))
        super().__init__("\n".join(mistake.worded() for mistake in self.mistakes))

    @classmethod
    def at(
        cls,
        place: Place,
        *,
        wrong: str,
        expected: str,
        mend: str,
        marked: str | None = None,
        spot: tuple[float, float] | None = None,
    ) -> MistakeError:
        """Make the error of a single mistake."""
        return cls([Mistake(place=place, wrong=wrong, expected=expected, mend=mend, marked=marked, spot=spot)])


class Mistakes:
    """Collects mistakes, so that the maker reads all of them at once."""

    def __init__(self, mistakes: Iterable[Mistake] = ()) -> None:
        self._mistakes = list(mistakes)

    def __iter__(self) -> Iterator[Mistake]:
        return iter(self._mistakes)

    def __len__(self) -> int:
        return len(self._mistakes)

    def add(
        self,
        place: Place,
        *,
        wrong: str,
        expected: str,
        mend: str,
        marked: str | None = None,
        spot: tuple[float, float] | None = None,
    ) -> None:
        """Add a mistake."""
        self._mistakes.append(Mistake(place=place, wrong=wrong, expected=expected, mend=mend, marked=marked, spot=spot))

    @contextmanager
    def collect(self) -> Iterator[None]:
        """Collect the mistakes that end the block; what follows the block runs all the same."""
        try:
            yield
        except MistakeError as error:
            self._mistakes.extend(error.mistakes)

    def attempt(self, step: Callable[Params, Result], *arguments: Params.args, **named: Params.kwargs) -> Result | None:
        """Give what a step gives; None where it raises mistakes, which are collected."""
        try:
            return step(*arguments, **named)
        except MistakeError as error:
            self._mistakes.extend(error.mistakes)
            return None

    def raise_if_any(self) -> None:
        """Raise all mistakes that were collected.

        Raises:
            MistakeError: there is one or more.
        """
        if self._mistakes:
            raise MistakeError(self._mistakes)


def _order(mistake: Mistake) -> tuple[str, int, str]:
    return mistake.place.path, mistake.place.line or 0, mistake.wrong


def quoted(text: str, most: int = 60) -> str:
    """Give a text of the maker's in quotation marks, without the end of a long one."""
    return f"'{text}'" if len(text) <= most else f"'{text[: most - 3]}...'"


def _excerpt(text: str, marked: str) -> tuple[str, int, int]:
    """Give the part of a line that is printed, the position of the marked part in it, and its width (0: not in it)."""
    marked = _printable(marked[:LINE_READ])
    near = max(0, text.find(marked)) if len(text) > LINE_READ else 0
    line = _printable(text[max(0, near - LINE_READ) : near + LINE_READ]).rstrip()
    whole_word = re.search(rf"(?<![\w.]){re.escape(marked)}(?![\w.])", line) if marked else None
    at = whole_word.start() if whole_word else line.find(marked) if marked else -1
    if len(line) <= LINE_SHOWN:
        return line, max(at, 0), len(marked) if at >= 0 else 0
    start = max(0, min(at - 40, len(line) - LINE_SHOWN))
    before, after = "... " if start else "", " ..." if start + LINE_SHOWN < len(line) else ""
    excerpt = f"{before}{line[start : start + LINE_SHOWN]}{after}"
    return excerpt, max(at - start, 0) + len(before), min(len(marked), start + LINE_SHOWN - at) if at >= 0 else 0


def _plain(text: str) -> str:
    """Give a sentence on one line, cut to a length that can be read."""
    text = _printable(text)
    return text if len(text) <= TEXT_SHOWN else text[: TEXT_SHOWN - 4] + " ..."


def _printable(text: str) -> str:
    """Replace characters that would move the cursor or colour the terminal by blanks."""
    return "".join(character if character.isprintable() else " " for character in text)


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Give the known word that is spelled most like ``word``, or None where none is close."""
    import difflib  # which most commands never need

    close = difflib.get_close_matches(word[:100], sorted(known), n=1, cutoff=0.7)
    return close[0] if close else None


def suggestion(word: str, known: Iterable[str], otherwise: str) -> str:
    """Ask whether the nearest known word is meant; give ``otherwise`` where none is close."""
    guess = nearest(word, known)
    return f"did you mean {guess!r}?" if guess else otherwise


def listed(words: Iterable[str], most: int = 12) -> str:
    """Give words in alphabetical order with commas between, up to ``most`` of them."""
    ordered = sorted(words)
    first = ", ".join(ordered[:most])
    return f"{first} and {len(ordered) - most} more" if len(ordered) > most else first


def summary(mistakes: Sequence[Mistake], outcome: str = "Nothing was published.") -> str:
    """Say how many mistakes there are in how many files, options of a command aside, and what did not happen."""
    files = len({mistake.place.path for mistake in mistakes if not mistake.place.path.startswith("--")})
    number = "1 mistake" if len(mistakes) == 1 else f"{len(mistakes)} mistakes"
    where = {0: "", 1: " in 1 file"}.get(files, f" in {files} files")
    return f"{number}{where}. {outcome}"
