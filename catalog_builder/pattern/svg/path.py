"""The path language of SVG 2 (chapter 9), read strictly: what a browser would skip over is a mistake here."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import groupby

import numpy as np

from catalog_builder.pattern.svg.curve import Bezier, Points, Segment, Straight, Subpath, arc_between

MOST_SEGMENTS = 20_000
# Possessive: a long row of digits is matched once, never again in shorter pieces, which would take for ever.
_NUMBER = r"[-+]?+(?:[0-9]++\.?+[0-9]*+|\.[0-9]++)(?:[eE][-+]?[0-9]++)?+"
_NUMBERS = re.compile(_NUMBER)
_ONLY_NUMBERS = re.compile(rf"[\s,]*(?:{_NUMBER}[\s,]*)*")
_ARC = re.compile(
    rf"[\s,]*({_NUMBER})[\s,]*({_NUMBER})[\s,]*({_NUMBER})[\s,]*([01])[\s,]*([01])[\s,]*({_NUMBER})[\s,]*({_NUMBER})"
)
_COMMAND = re.compile(r"([MmZzLlHhVvCcSsQqTtAa])([^MmZzLlHhVvCcSsQqTtAa]*)")
_TAKES = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}


class PathError(ValueError):
    """A path that cannot be read; its text says what is wrong."""


def marked_text(error: ValueError) -> str | None:
    """Give the first text in quotation marks of an error's message: the part of the line to underline."""
    match = re.search(r"'([^']+)'", str(error))
    return match[1] if match else None


def read_path(text: str) -> tuple[Subpath, ...]:
    """Read a path's ``d`` as runs of segments.

    Raises:
        PathError: a letter is unknown, numbers are missing or left over, or it does not begin with a move.
    """
    return tuple(_Pen(text).runs())


class _Pen:
    """Follows the commands of one path."""

    def __init__(self, text: str) -> None:
        self.commands = list(_commands(text))
        self.at: Points = np.zeros(2)
        self.start: Points = np.zeros(2)
        self.control: Points | None = None
        self.smooth = ""
        self.segments: list[Segment] = []

    def runs(self) -> Iterator[Subpath]:
        for letter, values in self.commands:
            kind, relative = letter.upper(), letter.islower()
            if kind in "MZ" and self.segments:
                yield Subpath(self._ended(kind == "Z"), kind == "Z")
                self.segments = []
            if kind == "Z":
                self.at = self.start
            elif kind == "M":
                points = self._points(values, relative)
                self.start = self.at = points[0]
                self._straight(points[1:])
            else:
                self._draw(kind, relative, values)
            if kind not in "CSQT":
                self.control = None
            self.smooth = kind
        if self.segments:
            yield Subpath(tuple(self.segments), closed=False)

    def _ended(self, closed: bool) -> tuple[Segment, ...]:
        if closed and not np.array_equal(self.at, self.start):
            self.segments.append(Straight(np.array([self.at, self.start])))
        return tuple(self.segments)

    def _points(self, values: Points, relative: bool) -> Points:
        """Give points of shape (n, 2), each relative one counted from the one before it."""
        points = values.reshape(-1, 2)
        return np.asarray(self.at + np.cumsum(points, axis=0) if relative else points)

    def _straight(self, points: Points) -> None:
        if len(points):
            self.segments.append(Straight(np.concatenate([self.at[None, :], points])))
            self.at = points[-1]

    def _draw(self, kind: str, relative: bool, values: Points) -> None:
        if kind == "L":
            self._straight(self._points(values, relative))
        elif kind in "HV":
            axis = 0 if kind == "H" else 1
            along = self.at[axis] + np.cumsum(values) if relative else values
            points = np.tile(self.at, (len(along), 1))
            points[:, axis] = along
            self._straight(points)
        elif kind == "A":
            for rx, ry, turn, large, sweep, x, y in values.reshape(-1, 7):
                end = np.array([x, y]) + (self.at if relative else 0)
                self.segments.append(arc_between(self.at, end, (rx, ry), turn, (bool(large), bool(sweep))))
                self.at = end
        else:
            for group in values.reshape(-1, _TAKES[kind]):
                self._curve(kind, group.reshape(-1, 2) + (self.at if relative else 0))

    def _curve(self, kind: str, points: Points) -> None:
        if kind in "ST":
            follows = self.smooth in ("CS" if kind == "S" else "QT")
            mirrored = 2 * self.at - self.control if follows and self.control is not None else self.at
            points = np.concatenate([mirrored[None, :], points])
        self.segments.append(Bezier(np.concatenate([self.at[None, :], points])))
        self.control, self.at, self.smooth = points[-2], points[-1], kind


def _commands(text: str) -> Iterator[tuple[str, Points]]:
    stripped = text.strip()
    first = _COMMAND.search(stripped)
    if first is None or first.start() != 0 or first[1] not in "Mm":
        raise PathError(f"the path does not begin with M: {stripped[:24]!r}")
    segments = 0
    for letter, rest in _gathered(_COMMAND.findall(stripped)):
        takes = _TAKES[letter.upper()]
        if letter in "Aa":
            values = _arcs(letter, rest)
        else:
            if not _ONLY_NUMBERS.fullmatch(rest):
                bad = _NUMBERS.sub("", rest).replace(",", " ").split()
                raise PathError(f"{(bad or [rest.strip()])[0][:24]!r} after {letter} is not a number")
            values = np.array(_NUMBERS.findall(rest), dtype=np.float64)
        if takes == 0:
            if len(values):
                raise PathError(f"numbers follow {letter}, which takes none")
        elif len(values) == 0 or len(values) % takes:
            raise PathError(f"{letter} takes {takes} numbers at a time, and {len(values)} are there")
        if not np.isfinite(values).all() or (len(values) and np.abs(values).max() > 1e7):
            raise PathError(f"a number after {letter} is too large")
        segments += max(1, len(values) // max(takes, 1))
        if segments > MOST_SEGMENTS:
            raise PathError(f"the path has more than {MOST_SEGMENTS} corners and curves")
        yield letter, values


def _gathered(commands: list[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """Join commands that repeat a letter: L 1 2 L 3 4 is the same as L 1 2 3 4, and is read much faster."""
    for letter, group in groupby(commands, key=lambda command: command[0]):
        rests = [rest for _, rest in group]
        if letter in "MmZz":
            yield from ((letter, rest) for rest in rests)
        else:
            yield letter, " ".join(rests)


def _arcs(letter: str, rest: str) -> Points:
    values: list[float] = []
    at = 0
    while match := _ARC.match(rest, at):
        values.extend(float(part) for part in match.groups())
        at = match.end()
    if rest[at:].strip(" \t\n,") or not values:
        raise PathError(
            f"{letter} takes radii, a turn, two flags of 0 or 1 and a point; {rest[at:].strip()[:24]!r} is not"
        )
    return np.array(values)
