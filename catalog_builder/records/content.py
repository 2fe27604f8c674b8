"""All of content/, read at once: every mistake in every file is reported before anything is made."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import TypeVar

from catalog_builder.mistake import MistakeError, Mistakes, Place, listed, quoted, suggestion
from catalog_builder.records.batch_plan import Plan, read_plans
from catalog_builder.records.bench_log import BenchLog, read_bench_log
from catalog_builder.records.kept_layout import KeptLayout, read_layouts
from catalog_builder.records.material import Material
from catalog_builder.records.materials import Materials, read_materials
from catalog_builder.records.naming import check_former_names, check_names, check_titles
from catalog_builder.records.own_page import OwnPage, check_text, read_own_pages
from catalog_builder.records.planning_records import PlanningRecords
from catalog_builder.records.price_records import PriceRecords
from catalog_builder.records.product import GlassChoice, Product, by_any_name, read_product
from catalog_builder.records.product_set import ProductSet, read_sets
from catalog_builder.records.reading.file import folders_in, is_there
from catalog_builder.records.reading.prose import check_prose
from catalog_builder.records.reading.source import MOST_BYTES, Source, read
from catalog_builder.records.reading.toml import key_line
from catalog_builder.records.selling.book_names import with_new_names
from catalog_builder.records.selling.boxes import PackingBox, read_boxes
from catalog_builder.records.selling.kept_quote import Quote, read_quotes
from catalog_builder.records.selling.label_sheet import LabelSheet, read_label_sheets
from catalog_builder.records.selling.market_book import MarketBook, read_market_book
from catalog_builder.records.selling.postage import PostageBand, read_postage
from catalog_builder.records.selling.price_book import MOST_BOOK_BYTES, NO_PRICES, PriceBook, read_price_book
from catalog_builder.records.selling.ready_pieces import (
    NOTHING_COUNTED,
    ReadyPieces,
    read_ready_counts,
    ready_pieces,
)
from catalog_builder.records.selling.reductions import NO_REDUCTIONS, Reductions, read_reductions
from catalog_builder.records.stock import EMPTY, Stock, read_stock
from catalog_builder.records.studio import MOST_STUDIO_BYTES, Studio, read_studio

Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Content:
    """All files of a project as typed values, and the day that they are read for.

    ``products``, ``boxes``, ``postage``, ``plans`` and ``quotes`` are in a fixed order; ``texts`` are the pages of
    Markdown by their names, ``pages`` further ones of the studio's own, and ``layouts`` the kept ones by the names of
    their plans. A stage is handed the values that it uses.
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
    ready: ReadyPieces = NOTHING_COUNTED
    reductions: Reductions = NO_REDUCTIONS
    sets: tuple[ProductSet, ...] = ()
    quotes: tuple[Quote, ...] = ()
    pages: tuple[OwnPage, ...] = ()

    @property
    def price_records(self) -> PriceRecords:
        """What prices of any day follow from."""
        return PriceRecords(self.studio, self.materials, self.book, self.reductions, self.day)

    @property
    def planning_records(self) -> PlanningRecords:
        """What the planning of batches rests on."""
        return PlanningRecords(self.studio, self.materials, self.stock, self.layouts, self.day)

    def printed_sources(self) -> Iterator[Source]:
        """Give the files whose texts are printed."""
        yield self.studio_source
        folder = self.project / "content"
        paths = [*(folder / f"{name}.md" for name in ("about", "care", "terms")), folder / "materials.csv"]
        paths += [folder / "batches" / f"{plan.name}.toml" for plan in self.plans]
        yield from (read(self.project, path) for path in paths if path.exists())
        for product in self.products:
            yield from (product.source, product.drawing, *product.parts.values())

    def glass(self, choice: GlassChoice) -> dict[str, Material]:
        """Give the glass material of each glass word of a drawing in a choice."""
        return {word: self.materials.rows[name] for word, name in choice.pieces.items()}


def read_content(project: Path, day: date) -> Content:
    """Read ``content/`` of a project folder.

    Raises:
        MistakeError: with every mistake in every file.
    """
    return _ContentReader(project).content(day)


class _ContentReader:
    """Reads a project file by file and collects the mistakes of all of them."""

    def __init__(self, project: Path) -> None:
        self.project = project
        self.folder = project / "content"
        self.mistakes = Mistakes()

    def content(self, day: date) -> Content:
        if not os.path.lexists(self.folder):
            raise MistakeError.at(
                Place(path="content/studio.toml"),
                wrong="the file is missing, and so is the whole folder content/",
                expected="a studio's folder, with content/studio.toml in it",
                mend="name that folder with --folder, or run `catalog-builder begin FOLDER` to lay out a new one",
            )
        if not os.path.isdir(self.folder):  # noqa: PTH112 - the method of Path raises in a closed folder
            read(self.project, self.folder / "studio.toml")
        source = self.mistakes.attempt(read, self.project, self.folder / "studio.toml", MOST_STUDIO_BYTES)
        studio = self.mistakes.attempt(read_studio, source) if source is not None else None
        materials, products = self._materials(), self._products(source)
        texts = self._texts()
        pages = self.mistakes.attempt(read_own_pages, self.project) or ()
        book = self._optional("price_book.csv", read_price_book, NO_PRICES, MOST_BOOK_BYTES)
        packing = {material.material for material in materials.of_kind("packing")} if materials is not None else None
        boxes: tuple[PackingBox, ...] = self._optional("boxes.csv", lambda table: read_boxes(table, packing), ())
        postage: tuple[PostageBand, ...] = self._optional("postage.csv", read_postage, ())
        labels = self.mistakes.attempt(read_label_sheets, self.project) or {}
        stock = EMPTY
        if materials is not None:
            stock = self._optional("stock.csv", lambda table: read_stock(table, materials.rows), EMPTY)
        read_products = tuple(product for product in products if product is not None)
        check_titles(read_products, self.mistakes)
        check_former_names(read_products, self.mistakes)
        book = with_new_names(book, by_any_name(read_products))
        if studio is not None and source is not None:
            self._check_parcels(studio, source)
            if materials is not None:
                _check_studio_names(studio, source, materials, self.mistakes)
                for product in read_products:
                    check_names(product, studio, materials, self.mistakes)
        log, market_book, plans, layouts, counted, reductions, sets = None, None, None, None, None, None, None
        quotes = None
        if studio is not None and None not in products and _finishes_known(read_products, studio):
            by_name = by_any_name(read_products)
            log = self.mistakes.attempt(read_bench_log, self.project, studio, by_name)
            market_book = self.mistakes.attempt(read_market_book, self.project, studio.markets, by_name)
            counted = self.mistakes.attempt(read_ready_counts, self.project, by_name)
            shown = [studio.channel_on(audience) for audience in ("catalogue", "stall")]
            reductions = self.mistakes.attempt(read_reductions, self.project, studio.channels, shown, by_name)
            sets = self.mistakes.attempt(read_sets, self.project, studio.series, read_products)
            plans = self.mistakes.attempt(read_plans, self.project, read_products, sets or ())
            layouts = self.mistakes.attempt(read_layouts, self.project, plans or ())
            if materials is not None:
                quotes = self.mistakes.attempt(read_quotes, self.project, studio, materials, by_name)
        self.mistakes.raise_if_any()
        if source is None or studio is None or materials is None or log is None or market_book is None:
            raise MistakeError(self.mistakes)
        return Content(
            self.project,
            day,
            studio,
            source,
            materials,
            read_products,
            texts,
            book,
            log,
            market_book,
            boxes,
            postage,
            labels,
            plans or (),
            layouts or {},
            stock,
            ready_pieces(counted or (), log, market_book.sales, day),
            reductions or NO_REDUCTIONS,
            sets or (),
            quotes or (),
            pages,
        )

    def _optional(
        self, name: str, parse: Callable[[Source], Value], missing: Value, most_bytes: int = MOST_BYTES
    ) -> Value:
        """Read a file; give ``missing`` where there is none, or where it has mistakes."""
        path = self.folder / name
        if not is_there(path):
            return missing
        value = self.mistakes.attempt(lambda: parse(read(self.project, path, most_bytes)))
        return missing if value is None else value

    def _materials(self) -> Materials | None:
        rows = self.mistakes.attempt(read, self.project, self.folder / "materials.csv")
        prices = self.mistakes.attempt(read, self.project, self.folder / "material_prices.csv")
        if rows is None or prices is None:
            return None
        return self.mistakes.attempt(read_materials, rows, prices)

    def _products(self, studio_source: Source | None) -> list[Product | None]:
        """Read every product; None is one with mistakes, or a folder that cannot be read."""
        folders = self.mistakes.attempt(folders_in, self.project, self.folder / "products")
        if folders == []:
            self.mistakes.add(
                (studio_source or Source("content/studio.toml", "")).place(),
                wrong="there are no products",
                expected="a folder for each product in content/products/, with a product.md in it",
                mend="run `catalog-builder add NAME DRAWING`, or `begin` in an empty folder for a worked example",
            )
        if folders is None:
            return [None]
        return [self.mistakes.attempt(read_product, self.project, folder) for folder in folders]

    def _texts(self) -> dict[str, str]:
        readers = {"about": _read_prose, "care": _read_prose, "terms": _read_terms}
        texts = {name: self._optional(f"{name}.md", reader, None) for name, reader in readers.items()}
        return {name: text for name, text in texts.items() if text is not None}

    def _check_parcels(self, studio: Studio, source: Source) -> None:
        """Refuse postage without the tables that it needs."""
        boxes, postage = is_there(self.folder / "boxes.csv"), is_there(self.folder / "postage.csv")
        if postage and not boxes:
            self.mistakes.add(
                Source("content/postage.csv", "").place(),
                wrong="there is no boxes.csv, so that no parcel has a size to send it by",
                expected="a file content/boxes.csv with the boxes that you pack in",
                mend="add it, or take postage.csv away until you have it",
            )
        if studio.parcel.show_postage and not postage:
            self.mistakes.add(
                source.place(key_line(source.text, ("parcel", "show_postage"))),
                wrong="parcel.show_postage: postage is to be shown, but there is no postage.csv",
                expected="a file content/postage.csv with the carriers' bands",
                mend="add it, or set show_postage = false",
                marked="show_postage",
            )


def _finishes_known(products: tuple[Product, ...], studio: Studio) -> bool:
    """Say whether tables can be checked against the products' variants.

    If a record misspells a finish, a table that names it rightly is not wrong: such tables are read once the records
    are mended.
    """
    return all(set(product.keys.finishes) <= set(studio.finishes) for product in products)


def _read_prose(source: Source) -> str | None:
    check_prose(source, source.text)
    return source.text


def _read_terms(source: Source) -> str | None:
    check_text(source, source.text)
    return source.text


def _check_studio_names(studio: Studio, source: Source, materials: Materials, mistakes: Mistakes) -> None:
    """Refuse materials of ``studio.toml`` that are not in ``materials.csv``."""
    making = studio.making
    names: list[tuple[tuple[str, ...], str, str]] = [
        (("making", kind), getattr(making, kind), kind)
        for kind in ("solder", "wire", "ring", "foil")
        if getattr(making, kind) != "auto" or kind in ("solder", "wire")
    ]
    for name, finish in studio.finishes.items():
        names.extend((("finishes", name, "materials"), material, "consumable") for material in finish.materials)
    for path, name, kind in names:
        known = {material.material for material in materials.of_kind(kind)}
        if name not in known:
            mistakes.add(
                source.place(key_line(source.text, path)),
                wrong=f"{'.'.join(path)}: {quoted(name)} is not a {kind} of materials.csv",
                expected=f"the name of a material of the kind {kind}: {listed(known) or 'there is none'}",
                mend=suggestion(name, known, "correct the name, or add the material"),
                marked=name,
            )
