"""What a search begins with: the demo's files, the worked example's, and those of every known fault."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.broken.fault import SOUND, faults, lay_sound
from tests.fuzz.readers import ROOT, TABLES

KEPT = Path(__file__).resolve().parent / "kept"
# More than this is not changed by a search in any time that a person waits.
MOST_BYTES = 24_000
ROOTS = (
    ROOT / "content",
    ROOT / "catalog_builder" / "commands" / "begin" / "example" / "content",
    ROOT / "catalog_builder" / "records" / "selling" / "label_sheets",
    ROOT / "themes",
)
_BLOCK = re.compile(rb"```svg[^\n]*\n(.*?)\n```", re.DOTALL)


def seeds(reader: str) -> set[bytes]:
    """Give the files that a reader is meant for, as they stand and with every known fault."""
    found = {data for path, data in _files() if len(data) <= MOST_BYTES for data in _meant(reader, path, data)}
    return found | {path.read_bytes() for path in kept(reader)}


def sound(reader: str) -> list[bytes]:
    """Give the files of a sound studio that a reader is meant for, in one order."""
    for root in (SOUND, *ROOTS):
        if found := [data for path, whole in _under(root) for data in _meant(reader, path, whole)]:
            return found
    return []


def table_of(path: Path) -> str | None:
    """Tell which of the tables a file of content/ is; None where it is none."""
    name = "markets" if path.parent.name == "markets" else path.name
    return name if path.suffix == ".csv" and name in TABLES else None


def kept(reader: str) -> list[Path]:
    """Give the files that a search found to do harm, once."""
    return sorted(path for path in (KEPT / reader).glob("*") if path.is_file())


def _meant(reader: str, path: Path, data: bytes) -> list[bytes]:
    """Give what of a file a reader is meant for."""
    record = path.name == "product.md"
    if reader == "drawing":
        return _BLOCK.findall(data) if record else [data] if path.suffix == ".svg" else []
    if reader == "header":
        return [data.partition(b"---\n")[2]] if record else []
    fits = {
        "record": record,
        "studio": path.name == "studio.toml",
        "table": table_of(path) is not None,
        "photo": path.suffix in (".jpg", ".png", ".webp"),
        "paper": path.stem == "on_paper",
        "label_sheet": path.suffix == ".toml" and path.parent.name.startswith("label"),
        "plan": path.suffix == ".toml" and path.parent.name == "batches",
        "quote": path.suffix == ".toml" and path.parent.name == "quotes",
        "order": path.suffix == ".csv" and path.parent.name == "orders",
        "layout": path.name.endswith(".layout.json"),
        "own_page": path.suffix == ".md" and path.parent.name == "pages",
        "theme": path.name == "theme.toml",
    }
    return [data] if fits[reader] else []


def _files() -> Iterator[tuple[Path, bytes]]:
    for root in ROOTS:
        yield from _under(root)
    with tempfile.TemporaryDirectory() as scratch:
        content = Path(scratch) / "content"
        lay_sound(content)
        yield from _under(content)
        for fault in faults():
            fault.commit(content)
            yield from _under(content)


def _under(root: Path) -> Iterator[tuple[Path, bytes]]:
    for path in sorted(root.rglob("*")):
        if path.is_file() and not path.is_symlink():
            yield path, path.read_bytes()
