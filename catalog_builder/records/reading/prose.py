"""A text in Markdown that buyers read: of a length and a nesting that a page can hold."""

from __future__ import annotations

import re

from catalog_builder.mistake import MistakeError
from catalog_builder.records.reading.source import Source, lines_of

# Some fifteen pages of a book; a description has a few hundred.
MOST_CHARACTERS = 40_000
# Between two blank lines. Within a paragraph the reader of Markdown searches the other half of every bracket.
MOST_IN_PARAGRAPH = 4_000
MOST_BRACKETS = 200
MOST_INDENT = 40
MOST_MARKERS = 10
_MARKERS = re.compile(r"(?:[ \t]*(?:>|(?:[-+*]|\d{1,9}[.)])(?=[ \t]|$)))+")
_MARKER = re.compile(r">|[-+*](?=[ \t]|$)|\d+[.)]")


def check_prose(source: Source, text: str) -> None:
    """Check a text against its limits; ``text`` is that of ``source``, or the rest of it without its drawings.

    Raises:
        MistakeError: it is longer, or nested deeper, than anything that a buyer reads.
    """
    if len(text) > MOST_CHARACTERS:
        wrong = f"the text has {len(text)} characters"
        raise _mistake(source, None, wrong, f"up to {MOST_CHARACTERS} characters for a reader")
    within = brackets = 0
    for line in lines_of(text):
        blank = not line.strip()
        within, brackets = (0, 0) if blank else (within + len(line) + 1, brackets + line.count("[") + line.count("<"))
        if within > MOST_IN_PARAGRAPH or brackets > MOST_BRACKETS:
            expected = f"up to {MOST_IN_PARAGRAPH} characters and {MOST_BRACKETS} brackets between two blank lines"
            raise _mistake(source, line, "the paragraph is too long, or full of brackets", expected)
        markers = _MARKERS.match(line)
        indent = len(line.expandtabs(4)) - len(line.expandtabs(4).lstrip())
        if indent > MOST_INDENT or (markers and len(_MARKER.findall(markers[0])) > MOST_MARKERS):
            expected = f"lists and quotations up to {MOST_MARKERS} deep, indented by up to {MOST_INDENT} spaces"
            raise _mistake(source, line, "the line is nested too deep", expected)


def _mistake(source: Source, line: str | None, wrong: str, expected: str) -> MistakeError:
    """Give a mistake at the line with a text, if just one line of the file has it."""
    rows = enumerate(lines_of(source.text), source.first_line)
    same = [number for number, row in rows if row == line]
    place = source.place(same[0] if len(same) == 1 else None)
    return MistakeError.at(place, wrong=wrong, expected=expected, mend="shorten it, or part it up")
