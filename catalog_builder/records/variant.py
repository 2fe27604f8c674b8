"""A variant as a table or a plan names it: a product with its size, finish and choice of glass."""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

from pydantic import Field

from catalog_builder.mistake import MistakeError, Mistakes, Place, listed, quoted, suggestion
from catalog_builder.records.product import Product
from catalog_builder.records.reading.entries import TableEntries
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.values import Line, Record


class VariantKeys(Record):
    """The cells that name a variant."""

    product: Line = Field(description="the name of a product's folder")
    size: Line | None = Field(None, description="a size of its record; may be empty where there is only one")
    finish: Line | None = Field(None, description="a finish of its record; may be empty where there is only one")
    glass: Line | None = Field(None, description="a choice of its glass; may be empty where there is only one")


Keys = TypeVar("Keys", bound=VariantKeys)


@dataclass(frozen=True, slots=True)
class Variant:
    """A product's folder with the names of a size (empty where it has none), a finish and a choice of glass."""

    product: str
    size: str
    finish: str
    choice: str


def read_variant(
    keys: VariantKeys, products: Mapping[str, Product], source: Source, line_of: Callable[[str], int | None]
) -> Variant:
    """Find the variant that a row names; ``line_of`` gives the line of one of its keys.

    ``products`` are by their names, those that they had before too.

    Raises:
        MistakeError: there is no such product, size, finish or glass, or a choice among several is not made.
    """
    product = products.get(keys.product)
    if product is None:
        raise MistakeError.at(
            source.place(line_of("product")),
            wrong=f"the product {quoted(keys.product)} is not in content/products",
            expected=f"one of: {listed({each.slug for each in products.values()})}",
            mend=suggestion(keys.product, products, "correct it; what is made no more keeps its record, as `sold`"),
            marked=keys.product,
        )
    record = product.keys
    offered: tuple[tuple[str, str | None, Collection[str]], ...] = (
        ("size", keys.size, record.sizes),
        ("finish", keys.finish, record.finishes),
        ("glass", keys.glass, record.glass),
    )
    choices, mistakes = list[str](), Mistakes()
    for what, name, known in offered:
        with mistakes.collect():
            choices.append(_choice(what, name, known, keys.product, source.place(line_of(what))))
    mistakes.raise_if_any()
    return Variant(product.slug, *choices)


def read_variants(
    entries: TableEntries[Keys],
    products: Mapping[str, Product],
    beside: Callable[[Keys], Hashable],
    what: str,
    mend: str,
) -> list[tuple[Keys, Variant]]:
    """Give each row with its variant; rows that name none, or one that another row has, are added as mistakes.

    Two rows are for the same variant if what ``beside`` gives is equal too; ``what`` and ``mend`` word that mistake.
    """
    variants, first = list[tuple[Keys, Variant]](), dict[Hashable, int]()
    for entry in entries.rows:
        with entries.mistakes.collect():
            variant = read_variant(entry.keys, products, entries.source, partial(_line_of_row, entry.line))
            entries.refuse_second(first, (variant, beside(entry.keys)), entry.line, what, mend)
            variants.append((entry.keys, variant))
    return variants


def _line_of_row(line: int, _key: str) -> int:
    return line


def _choice(what: str, name: str | None, known: Collection[str], product: str, place: Place) -> str:
    if name is None and len(known) <= 1:
        return next(iter(known), "")
    if name is None:
        raise MistakeError.at(
            place,
            wrong=f"the {what} of {product!r} is left open",
            expected=f"one of: {listed(known)}",
            mend=f"fill in the {what}",
            marked=product,
        )
    if name not in known:
        raise MistakeError.at(
            place,
            wrong=f"the {what} {quoted(name)} is not one of {product!r}",
            expected=f"one of: {listed(known)}" if known else "nothing: it has no sizes to choose from",
            mend=suggestion(name, known, "correct it, or the product's record"),
            marked=name,
        )
    return name
