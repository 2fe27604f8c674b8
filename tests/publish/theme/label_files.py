"""The label files of the themes, and what one lacks beside English.

``python -m tests.publish.theme.label_files`` prints the lines to add, and ends with 1 if there are some.
"""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

from catalog_builder.publish.theme.labels import missing_keys
from catalog_builder.publish.theme.spelling import SPELLING
from tests.publish.demo import ROOT

THEMES = ROOT / "themes"
FILES = sorted(path.relative_to(THEMES) for path in THEMES.glob("*/labels/*.toml"))
# A language is whole; a region holds only what it words otherwise.
LANGUAGES = [path for path in FILES if "-" not in path.stem and path.stem != "en"]
REGIONS = [path for path in FILES if "-" in path.stem]


def tables_of(path: Path) -> dict[str, dict[str, str]]:
    """The words of a file under ``themes/`` by table and key."""
    return tomllib.loads((THEMES / path).read_text(encoding="utf-8"))


def labels_of(path: Path) -> dict[tuple[str, str], str]:
    """The words of a file under ``themes/`` by table and key together."""
    return {
        (table, key): text
        for table, words in tables_of(path).items()
        if table != SPELLING
        for key, text in words.items()
    }


def spelling_of(region: Path) -> dict[str, str]:
    """What a region spells otherwise than its language."""
    return tables_of(region).get(SPELLING, {})


def base_of(region: Path) -> Path:
    """The file of the language of a region."""
    return region.with_name(f"{region.stem.partition('-')[0]}.toml")


def faults() -> Iterator[str]:
    """Give a line for each label that is missing."""
    for path in LANGUAGES:
        yield from (
            f"{path}: {key} is missing" for key in missing_keys(tables_of(path), tables_of(path.with_name("en.toml")))
        )


if __name__ == "__main__":
    lines = list(faults())
    sys.stdout.write("".join(f"{line}\n" for line in lines))
    sys.exit(bool(lines))
