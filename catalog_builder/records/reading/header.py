"""The header of a record: YAML between two lines of ``---``, read by the YAML 1.2 core schema.

PyYAML's own rules are those of YAML 1.1, where ``no`` is false, ``012`` is ten and ``1:30`` is ninety.
So the nodes are composed by PyYAML, which keeps their lines, and the values are made here.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import yaml

from catalog_builder.mistake import MistakeError, Mistakes, quoted
from catalog_builder.records.reading.source import Source, lines_of

KeyPath = tuple[str | int, ...]

_INTEGER = re.compile(r"^[-+]?[0-9]+$")
_NUMBER = re.compile(r"^[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]{1,3})?$")
_YAML = "tag:yaml.org,2002:"
# The tags that PyYAML gives by itself; any other was written into the file.
_TAGS = {_YAML + name for name in ["map", "seq", "str", "int", "float", "bool", "null", "timestamp", "merge", "value"]}
_MOST_DEPTH = 12
_MOST_CHARACTERS = 200_000
# A part of PyYAML's message, and what the maker reads in its place.
_WORDS = (
    ("mapping values are not allowed", "a colon too many, or the line is indented too far"),
    ("could not find expected ':'", "there is no colon after the key"),
    ("unexpected end of stream", "a quotation mark is not closed"),
    ("expected ',' or", "a bracket is not closed"),
    ("alphabetic or numeric", "a value begins with * or &"),
    ("undefined alias", "a value begins with * or &"),
    ("undefined tag", "a value begins with !"),
    ("expected", "the line does not fit the ones above it, by its indent or for want of a colon"),
)


def _wrong(problem: str, text: str) -> str:
    """Say in plain words why a line cannot be read."""
    start = text.lstrip(" \t")
    if "\t" in text[: len(text) - len(start)]:
        return "a tab stands where only spaces may"
    if "cannot start any token" in problem:
        return "a value begins with a sign that must stand in quotation marks"
    return next((words for part, words in _WORDS if part in problem), "it has a character that cannot stand there")


def nearest_line(path: KeyPath, line_of: Callable[[KeyPath], int | None]) -> int | None:
    """Give the line of a key, or of the nearest key above it; None where none of them has a line."""
    while path:
        line = line_of(path)
        if line is not None:
            return line
        path = path[:-1]
    return line_of(())


def lines_without(header: Source, keys: frozenset[str]) -> tuple[tuple[int, str], ...]:
    """Give the numbered lines of a header's text, without those of some of its keys.

    A key's lines are its own and those that go on with its value: indented, empty, or an item of a list.
    """
    lines, left_out = list[tuple[int, str]](), False
    for number, line in enumerate(lines_of(header.text), header.first_line):
        if line and line[0] not in " \t-":
            left_out = line.partition(":")[0] in keys
        if not left_out:
            lines.append((number, line))
    return tuple(lines)


@dataclass(frozen=True, slots=True)
class Header:
    """The values of a header, the line of every key and item, its own text, and the Markdown that follows."""

    values: dict[str, Any]
    lines: dict[KeyPath, int]
    text: Source
    body: Source


def read_header(source: Source) -> Header:
    """Split a record into header and body and read the header.

    Raises:
        MistakeError: there is no header, it is not YAML, a key stands twice, or it uses YAML's anchors or tags.
    """
    lines = source.text.split("\n")
    if lines[0].rstrip() != "---":
        raise MistakeError.at(
            source.place(1),
            wrong="the record has no header",
            expected="a first line of --- , then the keys, then another line of ---",
            mend="put --- on the first line, above `title:`",
        )
    end = next((number for number, line in enumerate(lines[1:], 2) if line.rstrip() == "---"), None)
    if end is None:
        raise MistakeError.at(
            source.place(1),
            wrong="the header is not closed",
            expected="a line of --- between the keys and the description",
            mend="put a line of --- below the last key",
        )
    own, body = Source(source.path, "\n".join(lines[:end])), Source(source.path, "\n".join(lines[end:]), end + 1)
    node = _compose(source, "\n".join(lines[1 : end - 1]))
    if node is None:
        return Header({}, {(): 1}, own, body)
    if not isinstance(node, yaml.MappingNode):
        raise MistakeError.at(
            source.place(2),
            wrong="the header is not made of keys",
            expected="lines of `key: value`, such as `title: Limpet`",
            mend="write each key on a line of its own, followed by a colon and a space",
        )
    reader = _Values(source)
    try:
        values = reader.value(node, (), 0)
    except RecursionError:
        raise _endless(source) from None
    reader.mistakes.raise_if_any()
    return Header(values, reader.lines, own, body)


def _compose(source: Source, text: str) -> yaml.Node | None:
    if len(text) > _MOST_CHARACTERS:
        raise _endless(source)
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    try:
        return yaml.compose(text, Loader=loader)
    except yaml.YAMLError as error:
        problem = str(getattr(error, "problem", None))
        unclosed = any(part in problem for part in ("unexpected end of stream", "expected ',' or", "expected ':'"))
        marks = [getattr(error, name, None) for name in ("problem_mark", "context_mark")]
        # Where something is not closed, the line that opens it is the one to mend.
        mark = next((mark for mark in (reversed(marks) if unclosed else marks) if mark is not None), None)
        place = source.place(2 + mark.line if mark is not None else None)
        raise MistakeError.at(
            place,
            wrong=f"the header cannot be read: {_wrong(problem, place.text or '')}",
            expected="lines of `key: value`, indented by spaces, never by tabs",
            mend="check this line and the one above; "
            "put a value that holds a colon, # or another sign in quotation marks",
        ) from None
    except RecursionError:
        raise _endless(source) from None


def _endless(source: Source) -> MistakeError:
    return MistakeError.at(
        source.place(1),
        wrong="the header is too long, or nested without end",
        expected=f"up to {_MOST_CHARACTERS:,} characters of keys and values",
        mend="check that the header is closed by a line of ---",
    )


class _Values:
    """Turns composed nodes into plain values; collects their lines and the mistakes."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.lines: dict[KeyPath, int] = {(): 1}
        self.mistakes = Mistakes()
        self.read: set[int] = set()

    def value(self, node: yaml.Node, path: KeyPath, depth: int) -> Any:
        line = node.start_mark.line + 2
        self.lines.setdefault(path, line)
        if id(node) in self.read:
            self._refuse(line, "a part of the header is used again by an anchor (& and *)", "&")
            return None
        if depth > _MOST_DEPTH:
            self._refuse(line, f"the header is nested more than {_MOST_DEPTH} deep")
            return None
        if node.tag not in _TAGS:
            self._refuse(line, f"the header uses a YAML tag ({node.tag.replace(_YAML, '!!')})", "!")
            return None
        self.read.add(id(node))
        if isinstance(node, yaml.MappingNode):
            return self._mapping(node, path, depth)
        if isinstance(node, yaml.SequenceNode):
            return [self.value(item, (*path, index), depth + 1) for index, item in enumerate(node.value)]
        return self._scalar(node)

    def _mapping(self, node: yaml.MappingNode, path: KeyPath, depth: int) -> dict[str, Any]:
        values: dict[str, Any] = {}
        for key_node, value_node in node.value:
            key, line = str(key_node.value), key_node.start_mark.line + 2
            if not isinstance(key_node, yaml.ScalarNode):
                self._refuse(line, "a key is not a word")
                continue
            if key in values:
                first = self.lines[(*path, key)]
                self.mistakes.add(
                    self.source.place(line),
                    wrong=f"the key {quoted(key)} stands twice (first on line {first})",
                    expected="each key once",
                    mend="keep one of the two lines",
                    marked=key,
                )
                continue
            self.lines[(*path, key)] = line
            values[key] = self.value(value_node, (*path, key), depth + 1)
        return values

    def _scalar(self, node: yaml.Node) -> Any:
        text = str(node.value)
        if getattr(node, "style", None) in ("'", '"', "|", ">"):
            return text
        if text in ("", "~", "null", "Null", "NULL"):
            return None
        if text in ("true", "True", "TRUE", "false", "False", "FALSE"):
            return text.lower() == "true"
        if _INTEGER.match(text) and len(text) < 19:
            return int(text)
        return Decimal(text) if _NUMBER.match(text) and len(text) < 40 else text

    def _refuse(self, line: int, wrong: str, marked: str | None = None) -> None:
        self.mistakes.add(
            self.source.place(line),
            wrong=wrong,
            expected="plain keys and values",
            mend="write it out in full and plainly, without &, * or !",
            marked=marked,
        )
