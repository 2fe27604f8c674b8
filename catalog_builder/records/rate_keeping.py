"""Writing rates into ``studio.toml``: the file's comments, order and spelling stay as the maker left them."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

from catalog_builder.mistake import Mistake, MistakeError, Place
from catalog_builder.records.reading.replacing import replace_whole
from catalog_builder.records.reading.source import Source
from catalog_builder.records.studio import read_studio

SHOWN = "content/studio.toml"
# A table by the names that lead to it, with the keys that are written in it.
Rates = Mapping[tuple[str, ...], Mapping[str, Decimal]]


def write_rates(project: Path, known: Source, rates: Rates) -> Path:
    """Write rates into ``studio.toml`` and give its path; ``known`` is the file as it was read.

    Raises:
        MistakeError: the file was changed since, or cannot be written; it stands as it was.
    """
    path = project / "content" / "studio.toml"
    try:
        old = path.read_bytes()
        mark = b"\xef\xbb\xbf" if old.startswith(b"\xef\xbb\xbf") else b""
        text = old.removeprefix(mark).decode()
        if text.replace("\r\n", "\n").replace("\r", "\n") != known.text:
            expected, mend = "the file as it was read", "run the command again; nothing was written"
            raise _refused("the file was changed while this was being worked out", expected, mend)
        new = _written(text, rates)
        # What would not be read back as it is meant is not written.
        read_studio(Source(SHOWN, new.replace("\r\n", "\n")))
        replace_whole(path, mark + new.encode())
    except OSError as fault:
        raise _refused(
            f"the file cannot be written ({fault.strerror})",
            "a file and a folder that this user may write, with room on the disk",
            "close it in other programs and check these; nothing was written",
        ) from None
    return path


def _written(text: str, rates: Rates) -> str:
    import tomlkit

    document = tomlkit.parse(text)
    for names, values in rates.items():
        table: Any = document
        for name in names:
            table = table[name]
        for key, value in values.items():
            plain = int(value) if value == value.to_integral_value() else float(value)
            table[key] = str(value) if isinstance(table.get(key), str) else plain
    new = tomlkit.dumps(document)
    # A key that is new comes with a bare line feed.
    return new.replace("\r\n", "\n").replace("\n", "\r\n") if "\r\n" in text else new


def _refused(wrong: str, expected: str, mend: str) -> MistakeError:
    return MistakeError([Mistake(place=Place(path=SHOWN), wrong=wrong, expected=expected, mend=mend)])
