"""A new record checked before its folder is made: every stage, in a copy of the studio with this product alone."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

from catalog_builder.build import calculate_all
from catalog_builder.cache.file_digests import FileDigests
from catalog_builder.cache.store import Store
from catalog_builder.mistake import WordedFinding
from catalog_builder.publish.studio_calculation import BuildCache, StudioCalculation, quiet
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.records.content import read_content
from catalog_builder.records.reading.file import bytes_of, is_there
from catalog_builder.records.selling.price_book import MOST_BOOK_BYTES

# What a studio holds that a product's measures and prices follow from.
_TABLES = ("studio.toml", "materials.csv", "material_prices.csv", "boxes.csv", "postage.csv")


def rehearse(
    project: Path, day: date, theme: Theme, name: str, files: Mapping[str, bytes]
) -> tuple[StudioCalculation, tuple[WordedFinding, ...]]:
    """Calculate a product of which ``files`` would be the folder, and give what ``check`` would say of it too.

    Raises:
        MistakeError: with all that ``check`` would refuse, in places of the folder that the product would have.
    """
    with TemporaryDirectory() as place:
        copy = Path(place)
        folder = copy / "content" / "products" / name
        folder.mkdir(parents=True)
        for table in _TABLES:
            path = project / "content" / table
            if is_there(path):
                (copy / "content" / table).write_bytes(bytes_of(project, path, MOST_BOOK_BYTES))
        for file, data in files.items():
            (folder / file).write_bytes(data)
        cache = BuildCache(Store(copy / "made"), FileDigests(copy / "inputs.json"))
        calculated = calculate_all(read_content(copy, day), theme, quiet, cache)
        own = f"content/products/{name}/"
        findings = [finding for finding in calculated.worded_findings if finding.place.path.startswith(own)]
    return calculated, tuple(findings)
