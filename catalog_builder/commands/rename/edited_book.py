"""The price book with names changed in it: prices go on, and a seal that held holds again."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from catalog_builder.commands.rename.edited_text import edited_table
from catalog_builder.commands.rename.new_name import NewName
from catalog_builder.records.selling.price_book import BookKeys, PriceBook, seal


def edited_book(text: str, book: PriceBook, name: NewName, codes: Mapping[str, str]) -> str:
    """Give the text of a book with a new name; ``book`` is that text as it is read, ``codes`` are today's variants.

    A row that was changed by hand after it was sealed keeps its broken seal.
    """
    rows = iter(list(_sealed_anew(book.rows, name, codes)))

    def change(cells: Mapping[str, str]) -> dict[str, str]:
        old, new = next(rows)
        columns = ("variant", "channel", "made_of", "seal")
        return {
            column: getattr(new, column)
            for column in columns
            if cells.get(column) and getattr(new, column) != getattr(old, column)
        }

    return edited_table(text, change)


def _sealed_anew(
    rows: Sequence[BookKeys], name: NewName, codes: Mapping[str, str]
) -> Iterator[tuple[BookKeys, BookKeys]]:
    """Give each row as it is and as it will be."""
    old_before = new_before = ""
    for row in rows:
        new = row.model_copy(
            update={
                "variant": codes.get(row.variant) or former_code(row.variant, name),
                "channel": name.of("channel", row.channel),
                "made_of": _lines(row.made_of, name),
            }
        )
        if row.seal is not None:
            holds = row.seal == seal(old_before, row)
            new = new.model_copy(update={"seal": seal(new_before, new) if holds else row.seal})
            old_before, new_before = row.seal, new.seal or ""
        yield row, new


def former_code(code: str, name: NewName) -> str:
    """Give the new code of a variant that is offered no more, as far as it can be read."""
    product, *choices = code.split("--")
    if name.kind in ("size", "finish", "glass") and choices.count(name.old) == 1:
        mine = not name.products or product in name.products
        choices = [name.new if choice == name.old and mine else choice for choice in choices]
    return "--".join((name.of("product", product), *choices))


def _lines(made_of: str | None, name: NewName) -> str | None:
    """Give the lines of a cost with a material called otherwise."""
    if made_of is None or name.kind != "material":
        return made_of
    return re.sub(rf"((?:^|;)\s*){re.escape(name.old)}(?=\s)", rf"\g<1>{name.new}", made_of)
