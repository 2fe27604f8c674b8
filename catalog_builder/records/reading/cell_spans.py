"""Where the cells of a CSV text stand, so that one can be changed and all others stay byte for byte."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CellSpan:
    """A cell from ``start`` to ``end`` in its text, as it is written; ``value`` is what a reader makes of it."""

    start: int
    end: int
    written: str

    @property
    def value(self) -> str:
        """The cell's text without quotation marks around it and blanks at its ends."""
        if self.written.startswith('"') and self.written.endswith('"') and len(self.written) > 1:
            return self.written[1:-1].replace('""', '"').strip()
        return self.written.strip()

    def written_as(self, value: str) -> str:
        """Write another value, which holds no separator that the old one had not, as this one is written."""
        if self.written.startswith('"'):
            doubled = value.replace('"', '""')
            return f'"{doubled}"'
        start, end = len(self.written) - len(self.written.lstrip()), len(self.written.rstrip())
        return f"{self.written[:start]}{value}{self.written[max(end, start) :]}"


def cell_spans(text: str, separator: str, start: int = 0) -> Iterator[list[CellSpan]]:
    """Give the cells of every row of a text that a reader of tables takes, rows without any letter left out.

    A cell that begins with a quotation mark ends at the mark that is not doubled, whatever stands between (RFC 4180).
    """
    cell = re.compile(rf'(?:"(?:[^"]|"")*"|[^{re.escape(separator)}\r\n]*)')
    row, place = list[CellSpan](), start
    while place <= len(text):
        match = cell.match(text, place)
        end = match.end() if match else place
        row.append(CellSpan(place, end, text[place:end]))
        place = end
        if place < len(text) and text[place] == separator:
            place += 1
            continue
        if any(each.value for each in row):
            yield row
        row = []
        if place >= len(text):
            return
        place += 2 if text.startswith("\r\n", place) else 1
