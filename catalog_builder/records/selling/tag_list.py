"""A list of tags to print: a table of variants with a count each, in the columns of a market's packing list."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from catalog_builder.mistake import Mistake, MistakeError
from catalog_builder.records.product import Product
from catalog_builder.records.reading.entries import read_entries
from catalog_builder.records.selling.market_book import BringKeys
from catalog_builder.records.variant import Variant, read_variants


def read_tag_list(project: Path, path: Path, products: Mapping[str, Product]) -> dict[Variant, int]:
    """Read a list, with how many tags each variant gets, in the order of the file.

    Raises:
        MistakeError: with every row that is wrong, or the list is empty.
    """
    root = project if path.is_relative_to(project) else path.parent
    entries = read_entries(root, path, BringKeys, {"count": "number"})
    found = read_variants(
        entries, products, lambda one: one.box, "this variant in this box", "add the two counts up in one row"
    )
    if not entries.mistakes and not found:
        expected, mend = "a row for each variant with its count", "add rows below the names of the columns"
        place = entries.source.place()
        entries.mistakes.append(Mistake(place=place, wrong="the list has no rows", expected=expected, mend=mend))
    if entries.mistakes:
        raise MistakeError(entries.mistakes)
    counts: dict[Variant, int] = {}
    for keys, variant in found:
        counts[variant] = counts.get(variant, 0) + keys.count
    return counts
