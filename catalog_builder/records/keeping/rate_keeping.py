"""Writing rates into ``studio.toml``: the file's comments, order and spelling stay as the maker left them."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

from catalog_builder.cache.atomic_file import replace_file
from catalog_builder.mistake import Place
from catalog_builder.records.keeping.safe_writing import changed_since, writing
from catalog_builder.records.reading.source import Source
from catalog_builder.records.studio import read_studio

PLACE = Place(path="content/studio.toml")
# A table by the names that lead to it, with the keys that are written in it.
Rates = Mapping[tuple[str, ...], Mapping[str, Decimal]]


def write_rates(project: Path, known: Source, rates: Rates) -> Path:
    """Write rates into ``studio.toml`` and give its path; ``known`` is the file as it was read.

    Raises:
        MistakeError: the file was changed since, or cannot be written; it is left as it was.
    """
    path = project / "content" / "studio.toml"
    with writing(PLACE, "the file"):
        old = path.read_bytes()
        mark = b"\xef\xbb\xbf" if old.startswith(b"\xef\xbb\xbf") else b""
        text = old.removeprefix(mark).decode()
        if text.replace("\r\n", "\n").replace("\r", "\n") != known.text:
            raise changed_since(PLACE, "the file")
        new = _with_rates(text, rates)
        # Rates that would be refused when they are read are not written.
        read_studio(Source(PLACE.path, new.replace("\r\n", "\n")))
        replace_file(path, mark + new.encode())
    return path


def _with_rates(text: str, rates: Rates) -> str:
    import tomlkit

    document = tomlkit.parse(text)
    for names, values in rates.items():
        table: Any = document
        for name in names:
            table = table[name]
        for key, value in values.items():
            number = int(value) if value == value.to_integral_value() else float(value)
            table[key] = str(value) if isinstance(table.get(key), str) else number
    new = tomlkit.dumps(document)
    # The library ends the line of a new key with a line feed alone.
    return new.replace("\r\n", "\n").replace("\n", "\r\n") if "\r\n" in text else new
