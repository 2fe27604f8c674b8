"""Texts of content/ with names changed in them: tables, headers of records, TOML and drawings; the rest stays."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

import yaml

from catalog_builder.commands.record_text import scalar
from catalog_builder.records.reading.cell_spans import cell_spans
from catalog_builder.records.reading.header import KeyPath

_SEPARATED = re.compile(r"\A\ufeff?sep=([,;|\t])(?:\r\n|\r|\n)")
_HEADER = re.compile(r"\A\ufeff?---[ \t]*(?:\r\n|\r|\n)(.*?)^---[ \t]*\r?$", re.MULTILINE | re.DOTALL)
Edit = tuple[int, int, str]


def edited_table(text: str, change: Callable[[Mapping[str, str]], Mapping[str, str]]) -> str:
    """Give a CSV text with other cells; ``change`` is given a row's cells by column, and gives those that change."""
    marked = _SEPARATED.match(text)
    start = marked.end() if marked else len(text) - len(text.removeprefix("\ufeff"))
    first_line = re.split(r"[\r\n]", text[start:], maxsplit=1)[0]
    separator = marked[1] if marked else max(",;\t", key=first_line.count)
    rows = cell_spans(text, separator, start)
    columns = [cell.value for cell in next(rows, [])]
    edits = list[Edit]()
    for row in rows:
        by_column = dict(zip(columns, row, strict=False))
        for column, new in change({column: cell.value for column, cell in by_column.items()}).items():
            if column in by_column:
                cell = by_column[column]
                edits.append((cell.start, cell.end, cell.written_as(new)))
    return _edited(text, edits)


def edited_header(text: str, name_at: Callable[[KeyPath, str, bool], str]) -> str:
    """Give a record's text with other names in its header.

    ``name_at`` is given the path of a key or value, its text, and whether it is a key, and gives the text to stand
    there.
    """
    header = _HEADER.match(text)
    node = yaml.compose(header[1], Loader=yaml.SafeLoader) if header else None
    edits = list[Edit]()
    for path, scalar_node, is_key in _scalars(node, ()) if node is not None else ():
        new = name_at(path, scalar_node.value, is_key)
        if new != scalar_node.value and header is not None:
            place = header.start(1)
            mark = scalar_node.style if scalar_node.style in ("'", '"') else ""
            written = f"{mark}{new}{mark}" if mark else scalar(new)
            edits.append((place + scalar_node.start_mark.index, place + scalar_node.end_mark.index, written))
    return _edited(text, edits)


def _scalars(node: yaml.Node, path: KeyPath) -> Iterator[tuple[KeyPath, yaml.ScalarNode, bool]]:
    if isinstance(node, yaml.ScalarNode):
        yield path, node, False
    elif isinstance(node, yaml.SequenceNode):
        for index, item in enumerate(node.value):
            yield from _scalars(item, (*path, index))
    elif isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            yield (*path, key.value), key, True
            yield from _scalars(value, (*path, key.value))


def edited_tables_of(text: str, parent: str, old: str, new: str) -> str:
    """Give a TOML text in which the tables ``[parent.old]``, and those inside them, have another name."""
    head = re.compile(
        rf"""^([ \t]*\[[ \t]*{parent}[ \t]*\.[ \t]*)(["']?){re.escape(old)}\2(?=[ \t]*[.\]])""", re.MULTILINE
    )
    return head.sub(rf"\g<1>\g<2>{new}\g<2>", text)


def edited_values(text: str, name_at: Callable[[KeyPath, str], str]) -> str:
    """Give a TOML text with other strings; ``name_at`` is given the path and the text of each."""
    import tomlkit

    document = tomlkit.parse(text.removeprefix("\ufeff"))
    changed = False
    for path, value in list(_strings(document.unwrap(), ())):
        new = name_at(path, value)
        if new != value:
            table: Any = document
            for key in path[:-1]:
                table = table[key]
            table[path[-1]] = new
            changed = True
    if not changed:
        return text
    mark = "\ufeff" if text.startswith("\ufeff") else ""
    # The library ends some lines with a line feed alone.
    new_text = tomlkit.dumps(document)
    return mark + (new_text.replace("\r\n", "\n").replace("\n", "\r\n") if "\r\n" in text else new_text)


def _strings(value: Any, path: KeyPath) -> Iterator[tuple[KeyPath, str]]:
    if isinstance(value, str):
        yield path, value
    elif isinstance(value, Mapping):
        for key, part in value.items():
            yield from _strings(part, (*path, str(key)))
    elif isinstance(value, list):
        for index, part in enumerate(value):
            yield from _strings(part, (*path, index))


def edited_drawing(text: str, old: str, new: str) -> str:
    """Give a text with drawings in which wires are made of a material that has another name."""
    return re.sub(
        rf"""(\bdata-material\s*=\s*)(["'])(\s*){re.escape(old)}(\s*)\2""", rf"\g<1>\g<2>\g<3>{new}\g<4>\g<2>", text
    )


def _edited(text: str, edits: list[Edit]) -> str:
    for start, end, new in sorted(edits, reverse=True):
        text = text[:start] + new + text[end:]
    return text
