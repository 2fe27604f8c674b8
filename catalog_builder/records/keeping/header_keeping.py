"""Writing values into the header of a record: only the keys that change are written, their comments and order kept."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal
from difflib import SequenceMatcher
from io import StringIO
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from catalog_builder.records.reading.header import Header

if TYPE_CHECKING:
    from ruamel.yaml.comments import CommentedMap, CommentedSeq

_MARK = b"\xef\xbb\xbf"


def with_values(data: bytes, header: Header, values: Mapping[str, Any]) -> bytes:
    """Give a record's bytes with other values in its header; ``header`` is how they are read now.

    A key whose value stays is not touched. Line ends stay as the file's first one is.

    Raises:
        YAMLError: a key that changes is written in a way that cannot be written anew.
    """
    lines = data.removeprefix(_MARK).splitlines(keepends=True)
    line_end = lines[0][len(lines[0].rstrip(b"\r\n")) :]
    end = next(number for number, line in enumerate(lines[1:], 1) if line.rstrip() == b"---")
    head = [line.rstrip(b"\r\n").decode() for line in lines[:end]]
    starts = sorted(header.lines[(key,)] - 1 for key in header.values)
    changed = [key for key in {**header.values, **values} if header.values.get(key) != values.get(key)]
    # From the last one on, so that the lines of those before it stay where they are.
    for key in sorted(changed, key=lambda key: -header.lines.get((key,), end)):
        start = header.lines[(key,)] - 1 if key in header.values else end
        stop = next((line for line in starts if line > start), end)
        # Blank lines and comments above the next key are that key's.
        while stop > start + 1 and re.match(r"\s*$|#", head[stop - 1]):
            stop -= 1
        head[start:stop] = _block(head[start:stop], key, values[key]) if key in values else []
    written = b"".join(line.encode() + line_end for line in head)
    return (_MARK if data.startswith(_MARK) else b"") + written + b"".join(lines[end:])


def _block(lines: Sequence[str], key: str, value: Any) -> list[str]:
    """Give the lines of a key with another value; ``lines`` are those that it has, if any."""
    from ruamel.yaml import YAML
    from ruamel.yaml.comments import CommentedMap

    yaml = YAML()
    yaml.preserve_quotes = True
    yaml.width = 100_000
    steps = [len(line) - len(line.lstrip(" ")) for line in lines[1:] if re.match(r" +[^\s#]", line)]
    step = min([2, *steps]) if not steps else min(steps)
    # Whether the items of a list stand under their key or set in from it.
    dashed = any(
        re.match(r" *- ", line) and above.rstrip().endswith(":") and _indent(line) == _indent(above)
        for above, line in pairwise(lines)
    )
    yaml.indent(mapping=step, sequence=step if dashed else step + 2, offset=0 if dashed else 2)
    document = yaml.load("\n".join(lines) + "\n") if lines else CommentedMap()
    document[key] = _merged(document[key], value) if lines else _made(value)
    text = StringIO()
    yaml.dump(document, text)
    return text.getvalue().rstrip("\n").split("\n")


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))


def _merged(node: Any, value: Any) -> Any:
    """Give a node with another value, itself where it can take it."""
    from ruamel.yaml.comments import CommentedMap, CommentedSeq

    if isinstance(value, Mapping) and isinstance(node, CommentedMap):
        return _merge_mapping(node, value)
    if isinstance(value, list) and isinstance(node, CommentedSeq):
        return _merge_list(node, value)
    return node if _is_same(node, value) else _made(value)


def _merge_mapping(node: CommentedMap, value: Mapping[str, Any]) -> CommentedMap:
    keys = {str(key): key for key in node}
    for name, key in keys.items():
        if name not in value:
            del node[key]
    for name, part in value.items():
        if name in keys:
            node[keys[name]] = _merged(node[keys[name]], part)
        else:
            node[name] = _made(part)
    return node


def _merge_list(node: CommentedSeq, value: list[Any]) -> CommentedSeq:
    """Keep the items that stay with their comments, change those in the place of others, and add the rest."""
    old, new = [_known(item) for item in node], [_known(item) for item in value]
    for _, begin, end, first, last in reversed(SequenceMatcher(None, old, new, autojunk=False).get_opcodes()):
        both = min(end - begin, last - first)
        for index in range(both):
            node[begin + index] = _merged(node[begin + index], value[first + index])
        for index in reversed(range(begin + both, end)):
            del node[index]
        for index in range(first + both, last):
            node.insert(begin + index - first, _made(value[index], inside=node.fa.flow_style() is None))
    return node


def _known(item: Any) -> str:
    """Give a text by which items are matched: a piece's point, any other item's own value."""
    if isinstance(item, Mapping):
        return _known(item["at"]) if "at" in item else str([(str(key), _known(part)) for key, part in item.items()])
    if isinstance(item, list | tuple):
        return str([_known(part) for part in item])
    number = isinstance(item, int | float | Decimal) and not isinstance(item, bool)
    return f"{float(item):.6f}" if number else str(item)


def _is_same(node: Any, value: Any) -> bool:
    if isinstance(value, str):
        return str(node) == value
    return not isinstance(node, str) and _known(node) == _known(value)


def _made(value: Any, inside: bool = False) -> Any:
    """Make a node: what holds lists of points or pieces in lines of its own, all else in one line."""
    from ruamel.yaml.comments import CommentedMap, CommentedSeq

    if isinstance(value, Decimal):
        return int(value) if value == value.to_integral_value() else float(value)
    if not isinstance(value, Mapping | list):
        return value
    parts = list(value.values()) if isinstance(value, Mapping) else value
    in_lines = not inside and any(
        _holds_parts(part) if isinstance(value, Mapping) else _is_group(part) for part in parts
    )
    node: Any
    if isinstance(value, Mapping):
        node = CommentedMap({key: _made(part, inside or not in_lines) for key, part in value.items()})
    else:
        node = CommentedSeq([_made(part, inside=True) for part in value])
    if not in_lines:
        node.fa.set_flow_style()
    return node


def _is_group(value: Any) -> bool:
    return isinstance(value, Mapping | list)


def _holds_parts(value: Any) -> bool:
    return _is_group(value) and any(
        _is_group(part) for part in (value.values() if isinstance(value, Mapping) else value)
    )
