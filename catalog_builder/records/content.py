"""All of content/, read at once: every mistake in every file is found before anything is made."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import TypeVar

from catalog_builder.mistake import Mistake, MistakeError, listed, nearest, quoted
from catalog_builder.records.batch_plan import Plan, read_plans
from catalog_builder.records.bench_log import BenchLog, read_bench_log
from catalog_builder.records.kept_layout import KeptLayout, read_layouts
from catalog_builder.records.material import Material
from catalog_builder.records.materials import Materials, read_materials
from catalog_builder.records.naming import check_names
from catalog_builder.records.product import GlassChoice, Product, read_product
from catalog_builder.records.reading.file import folders_in, is_there
from catalog_builder.records.reading.prose import hold_prose
from catalog_builder.records.reading.source import Source, read
from catalog_builder.records.reading.toml import key_line
from catalog_builder.records.selling.boxes import PackingBox, read_boxes
from catalog_builder.records.selling.label_sheet import LabelSheet, read_label_sheets
from catalog_builder.records.selling.market_book import MarketBook, read_market_book
from catalog_builder.records.selling.postage import PostageBand, read_postage
from catalog_builder.records.selling.price_book import MOST_BOOK_BYTES, PriceBook, read_price_book
from catalog_builder.records.stock import EMPTY, Stock, read_stock
from catalog_builder.records.studio import MOST_STUDIO_BYTES, Studio, read_studio

Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Content:
    """The studio, its materials, its products in order of their names, its pages of text, and its plans.

    ``layouts`` are the kept ones, by the names of their plans.
    """

    project: Path
    day: date
    studio: Studio
    studio_source: Source
    materials: Materials
    products: tuple[Product, ...]
    texts: Mapping[str, str]
    book: PriceBook
    log: BenchLog
    market_book: MarketBook
    boxes: tuple[PackingBox, ...] = ()
    postage: tuple[PostageBand, ...] = ()
    label_sheets: Mapping[str, LabelSheet] = field(default_factory=dict)
    plans: tuple[Plan, ...] = ()
    layouts: Mapping[str, KeptLayout] = field(default_factory=dict)
    stock: Stock = EMPTY

    def glass(self, choice: GlassChoice) -> dict[str, Material]:
        """Give the sheet of glass that each glass word of a drawing stands for in a choice."""
        return {word: self.materials.rows[name] for word, name in choice.pieces.items()}


def read_content(project: Path, day: date) -> Content:
    """Read ``content/`` of a project folder.

    Raises:
        MistakeError: with every mistake in every file.
    """
    content = project / "content"
    if not os.path.isdir(content):  # noqa: PTH112 - the other way raises where a folder may not be entered
        read(project, content / "studio.toml")
    mistakes: list[Mistake] = []

    def attempt(step: Callable[[], Value]) -> Value | None:
        try:
            return step()
        except MistakeError as fault:
            mistakes.extend(fault.mistakes)
            return None

    studio_source = attempt(lambda: read(project, content / "studio.toml", MOST_STUDIO_BYTES))
    studio = attempt(lambda: read_studio(studio_source)) if studio_source is not None else None
    rows = attempt(lambda: read(project, content / "materials.csv"))
    prices = attempt(lambda: read(project, content / "material_prices.csv"))
    materials = attempt(lambda: read_materials(rows, prices)) if rows is not None and prices is not None else None
    folders = attempt(lambda: folders_in(project, content / "products"))
    if folders == []:
        mistakes.append(
            Mistake(
                place=(studio_source or Source("content/studio.toml", "")).place(),
                wrong="there are no products",
                expected="a folder for each product in content/products/, with a product.md in it",
                mend="run `catalog-builder begin` in an empty folder for a worked example to copy",
            )
        )
    products = [attempt(lambda folder=folder: read_product(project, folder)) for folder in folders or ()]  # type: ignore[misc]
    texts = {
        name: found.text
        for name in ("about", "care")
        if is_there(content / f"{name}.md")
        and (found := attempt(lambda name=name: _read_prose(project, content / f"{name}.md"))) is not None  # type: ignore[misc]
    }
    book_file = content / "price_book.csv"
    book = attempt(lambda: read_price_book(read(project, book_file, MOST_BOOK_BYTES) if is_there(book_file) else None))
    packing = {material.material for material in materials.of_kind("packing")} if materials is not None else None
    box_file, postage_file = content / "boxes.csv", content / "postage.csv"
    boxes = attempt(lambda: read_boxes(read(project, box_file), packing)) if is_there(box_file) else ()
    postage = attempt(lambda: read_postage(read(project, postage_file))) if is_there(postage_file) else ()
    if studio is not None and studio_source is not None:
        mistakes.extend(_parcel_gaps(studio, studio_source, project, (box_file, postage_file)))
    label_sheets = attempt(lambda: read_label_sheets(project))
    read_products = tuple(product for product in products if product is not None)
    stock_file = content / "stock.csv"
    stocked = materials.rows if materials is not None and is_there(stock_file) else None
    stock = attempt(lambda: read_stock(read(project, stock_file), stocked)) if stocked is not None else EMPTY
    mistakes.extend(_titles_twice(read_products))
    if studio is not None and materials is not None and studio_source is not None:
        mistakes.extend(_studio_names(studio, studio_source, materials))
        for product in read_products:
            mistakes.extend(check_names(product, studio, materials))
    log = market_book = plans = layouts = None
    if studio is not None and folders is not None and _variants_stand(read_products, len(folders), studio):
        offered = {product.slug: product for product in read_products}
        log = attempt(lambda: read_bench_log(project, studio, offered))
        market_book = attempt(lambda: read_market_book(project, studio.markets, offered))
        plans = attempt(lambda: read_plans(project, read_products))
        layouts = attempt(lambda: read_layouts(project, plans or ()))
    if mistakes or studio is None or studio_source is None or materials is None or book is None:
        raise MistakeError(mistakes)
    if log is None or market_book is None:
        raise MistakeError(mistakes)
    made = project, day, studio, studio_source, materials, read_products, texts, book, log, market_book
    return Content(*made, boxes or (), postage or (), label_sheets or {}, plans or (), layouts or {}, stock or EMPTY)


def _variants_stand(products: tuple[Product, ...], folders: int, studio: Studio) -> bool:
    """Tell whether tables can be held to the products' variants.

    A record at fault is not missing, nor is its misspelled finish what a table should say: what names a variant is
    looked at once the records are mended.
    """
    return len(products) == folders and all(set(one.keys.finishes) <= set(studio.finishes) for one in products)


def _read_prose(project: Path, path: Path) -> Source:
    source = read(project, path)
    hold_prose(source, source.text)
    return source


def _parcel_gaps(studio: Studio, source: Source, project: Path, files: tuple[Path, Path]) -> list[Mistake]:
    """Find what is said of parcels without the table that it needs."""
    boxes, postage = (is_there(path) for path in files)
    mistakes = []
    if postage and not boxes:
        mistakes.append(
            Mistake(
                place=Source(files[1].relative_to(project).as_posix(), "").place(),
                wrong="there is no boxes.csv, so that no parcel has a size to send it by",
                expected="a file content/boxes.csv with the boxes that you pack in",
                mend="add it, or take postage.csv away until you have it",
            )
        )
    if studio.parcel.show_postage and not postage:
        mistakes.append(
            Mistake(
                place=source.place(key_line(source.text, ("parcel", "show_postage"))),
                wrong="parcel.show_postage: postage is to be shown, but there is no postage.csv",
                expected="a file content/postage.csv with the carriers' bands",
                mend="add it, or set show_postage = false",
                marked="show_postage",
            )
        )
    return mistakes


def _titles_twice(products: tuple[Product, ...]) -> list[Mistake]:
    first: dict[str, Product] = {}
    mistakes = []
    for product in products:
        title = product.keys.title.casefold()
        if title in first:
            other = first[title].source.place(first[title].line("title"))
            mistakes.append(
                Mistake(
                    place=product.source.place(product.line("title")),
                    wrong=f"the title {quoted(product.keys.title)} is taken by {other}",
                    expected="a title of its own for each product",
                    mend="change one of the two titles",
                    marked=product.keys.title,
                )
            )
        first.setdefault(title, product)
    return mistakes


def _studio_names(studio: Studio, source: Source, materials: Materials) -> list[Mistake]:
    wanted: list[tuple[tuple[str, ...], str, str]] = [
        (("making", "solder"), studio.making.solder, "solder"),
        (("making", "wire"), studio.making.wire, "wire"),
    ]
    for kind in ("ring", "foil"):
        name = getattr(studio.making, kind)
        if name != "auto":
            wanted.append((("making", kind), name, kind))
    for finish, found in studio.finishes.items():
        wanted.extend((("finishes", finish, "materials"), name, "consumable") for name in found.materials)
    mistakes = []
    for path, name, kind in wanted:
        known = {material.material for material in materials.of_kind(kind)}
        if name not in known:
            guess = nearest(name, known)
            mistakes.append(
                Mistake(
                    place=source.place(key_line(source.text, path)),
                    wrong=f"{'.'.join(path)}: {quoted(name)} is not a {kind} of materials.csv",
                    expected=f"the name of a material of the kind {kind}: {listed(known) or 'there is none'}",
                    mend=f"did you mean {guess!r}?" if guess else "correct the name, or add the material",
                    marked=name,
                )
            )
    return mistakes
