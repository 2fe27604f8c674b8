"""The line of a key in a TOML file, which its reader does not tell."""

from __future__ import annotations

import re

from catalog_builder.records.header import KeyPath


def key_line(text: str, path: KeyPath) -> int | None:
    """Find the line of a key by a scan of the text: only where exactly one line fits, never a guess."""
    found: list[int] = []
    table: KeyPath = ()
    counts: dict[KeyPath, int] = {}
    for number, line in enumerate(text.splitlines(), 1):
        many = re.match(r"\s*\[\[([^\[\]]+)\]\]\s*(#.*)?$", line)
        head = re.match(r"\s*\[([^\[\]]+)\]\s*(#.*)?$", line)
        key = re.match(r"\s*([A-Za-z0-9_-]+|\"[^\"]+\")\s*=", line)
        if many:
            name = _parts(many[1])
            counts[name] = counts.get(name, -1) + 1
            table = (*name, counts[name])
        elif head:
            table = _parts(head[1])
        if ((many or head) and table == path) or (not (many or head) and key and (*table, key[1].strip('"')) == path):
            found.append(number)
    return found[0] if len(found) == 1 else None


def _parts(name: str) -> KeyPath:
    return tuple(part.strip().strip('"') for part in name.split("."))
