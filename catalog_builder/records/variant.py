"""A variant as a table or a plan names it: a product with its size, finish and choice of glass."""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from pydantic import Field

from catalog_builder.mistake import Mistake, MistakeError, listed, nearest, quoted
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


Named = TypeVar("Named", bound=VariantKeys)


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

    Raises:
        MistakeError: there is no such product, size, finish or glass, or it is left open which one is meant.
    """
    product = products.get(keys.product)
    if product is None:
        guess = nearest(keys.product, products)
        mend = f"did you mean {guess!r}?" if guess else "correct it; what is made no more keeps its record, as `sold`"
        wrong = f"the product {quoted(keys.product)} is not in content/products"
        raise _refused(source, line_of("product"), wrong, f"one of: {listed(products)}", mend, keys.product)
    record = product.keys
    offered: tuple[tuple[str, str | None, Collection[str]], ...] = (
        ("size", keys.size, record.sizes),
        ("finish", keys.finish, record.finishes),
        ("glass", keys.glass, record.glass),
    )
    chosen, mistakes = [], list[Mistake]()
    for what, word, known in offered:
        try:
            chosen.append(_chosen(what, word, known, keys.product, (source, line_of(what))))
        except MistakeError as fault:
            mistakes.extend(fault.mistakes)
    if mistakes:
        raise MistakeError(mistakes)
    return Variant(keys.product, *chosen)


def read_variants(
    entries: TableEntries[Named],
    products: Mapping[str, Product],
    beside: Callable[[Named], Hashable],
    what: str,
    mend: str,
) -> list[tuple[Named, Variant]]:
    """Give each row with its variant, and tell those that name none, or one that stands in the table already.

    ``beside`` gives what else must be the same for two rows to be one; ``what`` and ``mend`` are for such.
    """
    found, first = [], dict[Hashable, int]()
    for entry in entries.rows:
        try:
            variant = read_variant(entry.keys, products, entries.source, lambda _, line=entry.line: line)  # type: ignore[misc]
        except MistakeError as fault:
            entries.mistakes.extend(fault.mistakes)
        else:
            entries.refuse_second(first, (variant, beside(entry.keys)), entry.line, what, mend)
            found.append((entry.keys, variant))
    return found


def _chosen(what: str, word: str | None, known: Collection[str], product: str, at: tuple[Source, int | None]) -> str:
    if word is None and len(known) <= 1:
        return next(iter(known), "")
    if word is None:
        wrong = f"the {what} of {product!r} is left open"
        raise _refused(*at, wrong, f"one of: {listed(known)}", f"fill in the {what}", product)
    if word not in known:
        guess = nearest(word, known)
        wrong = f"the {what} {quoted(word)} is not one of {product!r}"
        expected = f"one of: {listed(known)}" if known else "nothing: it has no sizes to choose from"
        mend = f"did you mean {guess!r}?" if guess else "correct it, or the product's record"
        raise _refused(*at, wrong, expected, mend, word)
    return word


def _refused(source: Source, line: int | None, wrong: str, expected: str, mend: str, marked: str) -> MistakeError:
    return MistakeError([Mistake(place=source.place(line), wrong=wrong, expected=expected, mend=mend, marked=marked)])
