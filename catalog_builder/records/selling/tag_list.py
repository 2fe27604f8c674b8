"""A list of tags to print: a table of variants with a count each, in the columns of a market's packing list."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from catalog_builder.records.product import Product
from catalog_builder.records.reading.entries import read_entries
from catalog_builder.records.selling.market_book import BringKeys
from catalog_builder.records.variant import Variant, read_variants


def read_tag_list(project: Path, path: Path, products: Mapping[str, Product]) -> dict[Variant, int]:
    """Read a list: how many tags each variant gets, in the order of the file.

    Raises:
        MistakeError: with every row that is wrong, or the list is empty.
    """
    root = project if path.is_relative_to(project) else path.parent
    entries = read_entries(root, path, BringKeys, {"count": "number"})
    again = "add the two counts up in one row"
    variants = read_variants(entries, products, lambda row: row.box, "this variant in this box", again)
    if not entries.mistakes and not any(row.count for row, _ in variants):
        entries.mistakes.add(
            entries.source.place(),
            wrong="the list has no rows" if not variants else "the list brings nothing: each count is 0",
            expected="a row for each variant with its count",
            mend="add rows below the names of the columns",
        )
    entries.mistakes.raise_if_any()
    counts: dict[Variant, int] = {}
    for row, variant in variants:
        counts[variant] = counts.get(variant, 0) + row.count
    return {variant: count for variant, count in counts.items() if count}
