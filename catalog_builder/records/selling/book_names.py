"""A price book in which names have changed: prices of a product's former name go on under its present one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from catalog_builder.records.product import Product
from catalog_builder.records.selling.price_book import BookKeys, PriceBook, by_price


def with_new_names(book: PriceBook, products: Mapping[str, Product]) -> PriceBook:
    """Give a book with the codes of former names made those of today; its file and its seals stay as they are.

    ``products`` are by their names, those that they had before too.
    """
    former = {name: product.slug for name, product in products.items() if name != product.slug}
    if not former:
        return book
    rows = tuple(_renamed(row, former) for row in book.rows)
    by_day: dict[tuple[date, str], tuple[BookKeys, ...]] = {}
    for row in rows:
        by_day[row.date, row.variant] = (*by_day.get((row.date, row.variant), ()), row)
    return replace(book, rows=rows, by_price=by_price(rows), by_day=by_day)


def _renamed(row: BookKeys, former: Mapping[str, str]) -> BookKeys:
    product, mark, choices = row.variant.partition("--")
    if product not in former:
        return row
    return row.model_copy(update={"variant": f"{former[product]}{mark}{choices}"})
