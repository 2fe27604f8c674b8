"""TOML, its errors in plain words, and the line of a key, which the TOML reader does not give."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from typing import Any

from catalog_builder.mistake import MistakeError
from catalog_builder.records.reading.header import KeyPath
from catalog_builder.records.reading.source import Source, lines_of

# The time to read a dotted key grows with the square of its length, and no key goes on in a second line.
MOST_IN_LINE = 20_000
# A pattern in the TOML reader's message, and what the maker reads in its place.
_WORDS = (
    (r"endless", f"a line has more than {MOST_IN_LINE} characters"),
    (r"overwrite|declare|redefine|mutate|Duplicate", "a key or table stands twice"),
    (r"after a key", "there is no = sign after the key"),
    (r"Illegal character|Unterminated|Unclosed", "a quotation mark or a bracket is not closed"),
    (r"Invalid value", "this is no value; a text stands in quotation marks"),
    (r"Expected newline", "something follows where the line should end"),
    (r"Invalid statement|Invalid initial", "this is neither a key nor a table"),
    (r"date|time", "there is no such day or time"),
    (r"Unescaped|hex|[Ee]scaped", "a backslash stands in a text; write two, or use single quotation marks"),
    (r"Expected", "a bracket is not closed"),
)


def read_toml(source: Source) -> dict[str, Any]:
    """Read a TOML text as plain values, numbers with a point as Decimal.

    Raises:
        MistakeError: it is not TOML, is nested without end, or has an endless line.
    """
    try:
        long = next((number for number, line in enumerate(lines_of(source.text), 1) if len(line) > MOST_IN_LINE), None)
        if long is not None:
            raise tomllib.TOMLDecodeError(f"endless (at line {long}, column 1)")
        return tomllib.loads(source.text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        place = re.search(r"\(at line (\d+), column \d+\)", str(error))
        line = int(place[1]) if place else len(lines_of(source.text.rstrip()))
        wrong = next((words for pattern, words in _WORDS if re.search(pattern, str(error))), "it does not fit")
    except (ValueError, InvalidOperation):
        line, wrong = None, "a number is too long to be one"
    except RecursionError:
        line, wrong = None, "brackets stand in brackets without end"
    raise MistakeError.at(
        source.place(line),
        wrong=f"the file cannot be read as TOML: {wrong}",
        expected='lines of key = value; texts in "quotes"; tables in [brackets]',
        mend="check this line and those above it for a missing quote, bracket or = sign",
    )


def key_line(text: str, path: KeyPath) -> int | None:
    """Find the line of a key by a scan of the text; None unless exactly one line fits."""
    lines = _key_lines(text).get(path, ())
    return lines[0] if len(lines) == 1 else None


# Every mistake asks for its line.
@lru_cache(maxsize=4)
def _key_lines(text: str) -> dict[KeyPath, list[int]]:
    lines: dict[KeyPath, list[int]] = {}
    table: KeyPath = ()
    counts: dict[KeyPath, int] = {}
    for number, line in enumerate(lines_of(text), 1):
        many = re.match(r"\s*\[\[([^\[\]]+)\]\]\s*(#.*)?$", line)
        head = re.match(r"\s*\[([^\[\]]+)\]\s*(#.*)?$", line)
        key = re.match(r"\s*([A-Za-z0-9_-]+|\"[^\"]+\")\s*=", line)
        if many:
            name = _parts(many[1])
            counts[name] = counts.get(name, -1) + 1
            table = (*name, counts[name])
        elif head:
            table = _within(_parts(head[1]), counts)
        if many or head:
            lines.setdefault(table, []).append(number)
        elif key:
            lines.setdefault((*table, key[1].strip('"')), []).append(number)
    return lines


def _within(name: KeyPath, counts: Mapping[KeyPath, int]) -> KeyPath:
    """Give a table's path: one inside a list of tables is in the last of them that was opened."""
    longest = max((path for path in counts if path == name[: len(path)]), key=len, default=())
    return (*longest, counts[longest], *name[len(longest) :]) if longest else name


def _parts(name: str) -> KeyPath:
    return tuple(part.strip().strip('"') for part in name.split("."))
