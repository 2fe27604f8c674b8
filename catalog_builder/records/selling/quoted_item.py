"""An item of a quote: a variant as it is listed, or a product changed from it or made of a drawing of its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

from pydantic import Field

from catalog_builder.mistake import MistakeError, Mistakes, listed, quoted, suggestion
from catalog_builder.records.materials import Materials
from catalog_builder.records.naming import check_names
from catalog_builder.records.product import GlassChoice, Hang, Product, ProductKeys
from catalog_builder.records.product_size import SizeKeys
from catalog_builder.records.reading.header import KeyPath, nearest_line
from catalog_builder.records.reading.source import Source, file_beside, read
from catalog_builder.records.reading.toml import key_line
from catalog_builder.records.reading.values import Length, Line, Name, Record
from catalog_builder.records.studio import Studio
from catalog_builder.records.variant import Variant, VariantKeys, read_variant

# The choice of glass of what is made for one buyer.
ASKED = "asked"


class QuotedKeys(Record):
    """``[[items]]`` of a quote: a product, as it is or changed, or a drawing of its own."""

    product: Name | None = Field(None, description="a product's folder: what is made is one of it, or changed from it")
    drawing: Line | None = Field(None, description="in place of product: an SVG file beside the quote, flat work")
    title: Line | None = Field(None, description="what the quote calls it; needed for a drawing of its own")
    note: Line | None = Field(None, description="a sentence under it, such as what was agreed")
    size: Name | None = Field(None, description="a size of the product ...")
    width: Length | None = Field(
        None, description="... or the finished width, such as 240 mm, as `sizes` of the record count it"
    )
    finish: Name | None = Field(None, description="a finish of studio.toml; may be left out where the product has one")
    glass: Name | None = Field(None, description="a choice of the product's glass; left out where it has one")
    pieces: dict[Name, Name] = Field(
        {}, description="glass words of the drawing: materials, in place of those of the choice; all for a drawing"
    )
    hang: Hang | None = Field(None, description="how it hangs, as in a product's record; without it, as the product")
    batch: int | None = Field(
        None, ge=1, le=1000, description="how many are made together; without it, for what is changed, the count"
    )
    count: int = Field(1, ge=1, le=1000, description="how many are quoted for")


@dataclass(frozen=True, slots=True)
class QuotedItem:
    """What is quoted for. ``listed`` is the variant where it is one as it stands in the record, else None.

    ``product`` is the record's own, or one with a single size, finish and choice of glass. ``title`` is what the quote
    calls it.
    """

    title: str
    note: str
    count: int
    product: Product
    listed: Variant | None


@dataclass(frozen=True, slots=True)
class QuoteTables:
    """What the names in quotes are looked up in."""

    project: Path
    studio: Studio
    materials: Materials
    products: Mapping[str, Product]


@dataclass(frozen=True, slots=True)
class ItemPlace:
    """Where an item stands: the name of its quote, its place there from 0, and the day of the quote."""

    quote: str
    index: int
    dated: date

    @property
    def slug(self) -> str:
        """A name for what is made, which no product's folder can have."""
        return f"{self.quote}.{self.index + 1}"


def read_item(keys: QuotedKeys, at: ItemPlace, source: Source, tables: QuoteTables) -> QuotedItem:
    """Read an item of a quote.

    Raises:
        MistakeError: with everything that is wrong in it.
    """
    line = partial(_line, source, at.index)
    if (keys.product is None) == (keys.drawing is None):
        raise MistakeError.at(
            source.place(line()),
            wrong=f"items.{at.index + 1}: it names {'no product' if keys.product is None else 'two things'}",
            expected="either `product`, a folder of content/products, or `drawing`, an SVG file beside the quote",
            mend="keep the one you mean" if keys.product is not None else "add one of the two",
        )
    if keys.product is not None:
        return _of_product(keys, keys.product, at, source, tables)
    return _of_drawing(keys, at, source, tables)


def _of_product(keys: QuotedKeys, name: str, at: ItemPlace, source: Source, tables: QuoteTables) -> QuotedItem:
    """Take a product from its record, and change what the quote asks for."""
    line, product, mistakes = partial(_line, source, at.index), tables.products.get(name), Mistakes()
    if keys.size is not None and keys.width is not None:
        mistakes.add(
            source.place(line("width")),
            wrong="both a size and a width are asked for",
            expected="a size of the record, or a width of its own",
            mend="keep the one you mean",
            marked="width",
        )
    _check_finish(keys, source, tables.studio, line("finish"), mistakes)
    record = product.keys if product is not None else None
    own_finish = record is not None and keys.finish is not None and keys.finish not in record.finishes
    asked = VariantKeys(
        product=name,
        size=keys.size or (next(iter(record.sizes), None) if record is not None and keys.width is not None else None),
        finish=record.finishes[0] if record is not None and own_finish else keys.finish,
        glass=keys.glass,
    )
    variant = mistakes.attempt(read_variant, asked, tables.products, source, line)
    if variant is None or product is None:
        raise MistakeError(mistakes)
    choice = product.keys.glass[variant.choice]
    for word in keys.pieces:
        if word not in choice.pieces:
            mistakes.add(
                source.place(line("pieces", word)),
                wrong=f"the drawing of {name!r} has no glass word {quoted(word)}",
                expected=f"one of: {listed(choice.pieces)}",
                mend=suggestion(word, choice.pieces, "correct the word, or take it out"),
                marked=word,
            )
    mistakes.raise_if_any()
    title, note = keys.title or product.keys.title, keys.note or ""
    if not (keys.width or keys.pieces or own_finish or keys.hang or keys.batch):
        return QuotedItem(title, note, keys.count, product, variant)
    changes: dict[str, Any] = {
        "title": title,
        "finishes": (keys.finish or variant.finish,),
        "glass": {variant.choice: GlassChoice(title=None, pieces={**choice.pieces, **keys.pieces})},
        "hang": keys.hang or product.keys.hang,
        "batch": keys.batch or keys.count,
        "hold_until": None,
        "photos": (),
    }
    # The drawn size stays the record's, as decorative solder is counted there: only the finished width is another.
    sizes = {"": SizeKeys(width=keys.width, title=None)} if keys.width is not None else {}
    if keys.width is None and variant.size:
        sizes = {variant.size: product.keys.sizes[variant.size]}
    changes |= {"width": product.keys.first_width_mm, "sizes": sizes}
    changed = product.keys.model_copy(update=changes)
    own = replace(
        product, slug=at.slug, keys=changed, source=source, lines=_lines(source, at.index, keys, variant.choice)
    )
    return _checked(QuotedItem(title, note, keys.count, own, None), tables)


def _of_drawing(keys: QuotedKeys, at: ItemPlace, source: Source, tables: QuoteTables) -> QuotedItem:
    """Make a product of a drawing beside the quote."""
    line, mistakes = partial(_line, source, at.index), Mistakes()
    for name, value in (("title", keys.title), ("finish", keys.finish), ("pieces", keys.pieces)):
        if not value:
            mistakes.add(
                source.place(line()),
                wrong=f"items.{at.index + 1}: the key {name!r} is missing, which a drawing of its own needs",
                expected=QuotedKeys.model_fields[name].description or "a value",
                mend=f"add {name!r} and its value",
            )
    for name, value in (("size", keys.size), ("glass", keys.glass)):
        if value is not None:
            mistakes.add(
                source.place(line(name)),
                wrong=f"{name!r} is a choice of a product, and this is a drawing of its own",
                expected="`width` for its size, `pieces` for its glass",
                mend="take the line out",
                marked=name,
            )
    _check_finish(keys, source, tables.studio, line("finish"), mistakes)
    folder, drawing = tables.project / "content" / "quotes", None
    with mistakes.collect():
        path = file_beside(source, folder, keys.drawing or "", line("drawing"), "the drawing")
        drawing = read(tables.project, path)
    if mistakes or drawing is None:
        raise MistakeError(mistakes)
    record = ProductKeys.model_construct(
        title=keys.title,
        summary=keys.title,
        series=next(iter(tables.studio.series)),
        added=at.dated,
        width=keys.width,
        finishes=(keys.finish,),
        glass={ASKED: GlassChoice(title=None, pieces=keys.pieces)},
        hang=keys.hang or Hang.model_validate({}),
        batch=keys.batch or keys.count,
    )
    lines = _lines(source, at.index, keys, ASKED)
    product = Product(at.slug, record, "", drawing, {}, source, folder, lines)
    return _checked(QuotedItem(keys.title or "", keys.note or "", keys.count, product, None), tables)


def _checked(item: QuotedItem, tables: QuoteTables) -> QuotedItem:
    mistakes = Mistakes()
    check_names(item.product, tables.studio, tables.materials, mistakes)
    mistakes.raise_if_any()
    return item


def _check_finish(keys: QuotedKeys, source: Source, studio: Studio, line: int | None, mistakes: Mistakes) -> None:
    if keys.finish is not None and keys.finish not in studio.finishes:
        mistakes.add(
            source.place(line),
            wrong=f"the finish {quoted(keys.finish)} is not in studio.toml",
            expected=f"one of: {listed(studio.finishes)}",
            mend=suggestion(keys.finish, studio.finishes, "correct the name, or add it to studio.toml"),
            marked=keys.finish,
        )


def _line(source: Source, index: int, *keys: str) -> int | None:
    """Find the line of an item's key, or else of the nearest key above it."""
    return nearest_line(("items", index, *keys), lambda path: key_line(source.text, path))


def _lines(source: Source, index: int, keys: QuotedKeys, choice: str) -> dict[KeyPath, int]:
    """Give the lines of the quote where a product's record would have its keys."""
    own: dict[KeyPath, tuple[str, ...]] = {(): (), ("width",): ("width",), ("finishes",): ("finish",)}
    own |= {("glass",): ("pieces",), ("hang",): ("hang",), ("hang", "length"): ("hang", "length")}
    own |= {("glass", choice, "pieces", word): ("pieces", word) for word in keys.pieces}
    return {path: line for path, name in own.items() if (line := _line(source, index, *name)) is not None}
