"""Every file of content/ that holds a name, with another one in it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from pathlib import Path

from catalog_builder.commands.rename.content_copy import ContentCopy
from catalog_builder.commands.rename.edited_book import edited_book, former_code
from catalog_builder.commands.rename.edited_text import (
    edited_drawing,
    edited_header,
    edited_table,
    edited_tables_of,
    edited_values,
)
from catalog_builder.commands.rename.new_name import Kind, NewName
from catalog_builder.records.keeping.header_keeping import with_values
from catalog_builder.records.kept_layout import KeptLayout, LaidGlass, layout_path, written
from catalog_builder.records.reading.header import KeyPath, read_header
from catalog_builder.records.reading.source import Source
from catalog_builder.records.selling.price_book import read_price_book

_Cells = Mapping[str, str]
_TABLES = ("bench_made.csv", "ready.csv", "reductions.csv", "sales.csv", "markets/*.csv")
_MATERIALS = ("materials.csv", "material_prices.csv", "stock.csv", "boxes.csv")
_VARIANT_KEYS: tuple[Kind, ...] = ("product", "size", "finish", "glass")


def edit_content(copy: ContentCopy, layouts: Mapping[str, KeptLayout], name: NewName, codes: Mapping[str, str]) -> None:
    """Change a name in all files of a copy; ``layouts`` are as they are now, ``codes`` those of today's variants.

    Raises:
        OSError: a file cannot be written.
    """
    if name.kind == "product":
        (copy.content / "products" / name.old).rename(copy.content / "products" / name.new)
        copy.edit(copy.content / "products" / name.new / "product.md", partial(_with_former_name, name))
    changes: list[tuple[tuple[str, ...], Callable[[_Cells], _Cells]]] = [
        (_TABLES, name.variant_cells),
        (("bench_log.csv",), name.step_cells),
        (_MATERIALS, name.material_cells),
    ]
    for patterns, change in changes:
        for path in _files(copy, *patterns):
            copy.edit(path, partial(_table, change))
    for path in _files(copy, "price_book.csv"):
        copy.edit(path, partial(_book, name, codes))
    for path in _files(copy, "products/*/product.md"):
        copy.edit(path, partial(edited_header, name_at=partial(_in_product, name, path.parent.name)))
    for path in _files(copy, "sets/*/set.md"):
        copy.edit(path, partial(_set, name))
    for path in _files(copy, "quotes/*.toml"):
        copy.edit(path, partial(_quote, name))
    for path in _files(copy, "orders/*.csv"):
        copy.edit(path, partial(_table, partial(_ordered, name, codes)))
    drawings = ("products/*/product.md", "products/*/*.svg", "quotes/*.svg")
    for path in _files(copy, *drawings) if name.kind == "material" else ():
        copy.edit(path, partial(edited_drawing, old=name.old, new=name.new))
    for path in _files(copy, "batches/*.toml"):
        copy.edit(path, partial(_plan, name))
    copy.edit(copy.content / "studio.toml", partial(_studio, name))
    for plan, layout in layouts.items():
        _edit_layout(copy, plan, _layout(layout, name))


def _edit_layout(copy: ContentCopy, plan: str, layout: KeptLayout) -> None:
    copy.edit(layout_path(copy.folder, plan), lambda _: written(layout))


def keep_in_force(copy: ContentCopy, layouts: Mapping[str, KeptLayout], fingerprints: Mapping[str, str]) -> None:
    """Give layouts of a copy the fingerprints that their plans have with the new name."""
    for plan, fingerprint in fingerprints.items():
        _edit_layout(copy, plan, layouts[plan].model_copy(update={"fingerprint": fingerprint}))


def _files(copy: ContentCopy, *patterns: str) -> Iterator[Path]:
    for pattern in patterns:
        for path in sorted(copy.content.glob(pattern)):
            if path.is_file() and not any(part.startswith(".") for part in path.relative_to(copy.content).parts):
                yield path


def _table(change: Callable[[_Cells], _Cells], text: str) -> str:
    return edited_table(text, change)


def _book(name: NewName, codes: Mapping[str, str], text: str) -> str:
    plain = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    return edited_book(text, read_price_book(Source("content/price_book.csv", plain)), name, codes)


def _with_former_name(name: NewName, text: str) -> str:
    header = read_header(Source("content/products", text.removeprefix("\ufeff").replace("\r\n", "\n")))
    before = [former for former in header.values.get("formerly", ()) if former != name.new]
    return with_values(text.encode(), header, {**header.values, "formerly": [*before, name.old]}).decode()


def _in_product(name: NewName, product: str, path: KeyPath, text: str, is_key: bool) -> str:
    """Give the name at a place of a product's record."""
    if is_key:
        places: dict[KeyPath, Kind] = {("sizes",): "size", ("glass",): "glass"}
        kind = places.get(path[:-1])
        return name.of(kind, text, product) if kind else text
    if path[:1] == ("finishes",):
        return name.of("finish", text)
    if len(path) == 4 and path[0] == "photos" and path[2] == "shows":
        shown: dict[str | int, Kind] = {"size": "size", "finish": "finish", "glass": "glass"}
        return name.of(shown[path[3]], text, product) if path[3] in shown else text
    in_glass = len(path) == 4 and path[0] == "glass" and path[2] == "pieces"
    is_material = path in (("solder",), ("foil",), ("frame", "material"), ("hang", "material")) or (
        path[-1] == "material" and "wires" in path
    )
    return name.of("material", text) if in_glass or is_material else text


def _set(name: NewName, text: str) -> str:
    header = read_header(Source("content/sets", text.removeprefix("\ufeff").replace("\r\n", "\n")))
    changes = _changed_rows(name, header.values.get("made_of", ()))
    return edited_header(text, lambda path, old, is_key: old if is_key else changes.get(path[1:], old))


def _plan(name: NewName, text: str) -> str:
    import tomllib

    changes = _changed_rows(name, tomllib.loads(text.removeprefix("\ufeff")).get("make", ()))
    return edited_values(text, lambda path, old: changes.get(path[1:], old) if path[:1] == ("make",) else old)


def _quote(name: NewName, text: str) -> str:
    import tomllib

    changes = _changed_rows(name, tomllib.loads(text.removeprefix("\ufeff")).get("items", ()))

    def name_at(path: KeyPath, old: str) -> str:
        if path == ("channel",):
            return name.of("channel", old)
        if path[:1] != ("items",):
            return old
        is_material = path[2:3] == ("pieces",) or path[2:] == ("hang", "material")
        return name.of("material", old) if is_material else changes.get(path[1:], old)

    return edited_values(text, name_at)


def _ordered(name: NewName, codes: Mapping[str, str], cells: _Cells) -> _Cells:
    code = cells.get("code", "")
    return {"code": codes.get(code) or former_code(code, name)} if code else {}


def _changed_rows(name: NewName, rows: list[Mapping[str, object]]) -> dict[KeyPath, str]:
    """Give the new names of variants in a list of them, by the number of the row and the key."""
    changes: dict[KeyPath, str] = {}
    for index, row in enumerate(rows):
        cells: dict[str, str] = {key: str(row[key]) for key in _VARIANT_KEYS if key in row}
        changes |= {(index, key): new for key, new in name.variant_cells(cells).items()}
    return changes


def _studio(name: NewName, text: str) -> str:
    if name.kind in ("finish", "channel"):
        text = edited_tables_of(text, "finishes" if name.kind == "finish" else "channels", name.old, name.new)
    return edited_values(text, partial(_in_studio, name))


def _in_studio(name: NewName, path: KeyPath, text: str) -> str:
    if path[0] == "channels" and path[-1] in ("follows", "never_below", "never_above"):
        return name.of("channel", text)
    of_making = path[0] == "making" and path[-1] in ("solder", "wire", "ring", "foil")
    of_finish = path[0] == "finishes" and path[2:3] == ("materials",)
    return name.of("material", text) if of_making or of_finish else text


def _layout(layout: KeptLayout, name: NewName) -> KeptLayout:
    glasses = tuple(
        LaidGlass(
            material=name.of("material", glass.material),
            sheets=tuple(
                sheet.model_copy(
                    update={
                        "pieces": tuple(
                            piece.model_copy(
                                update={
                                    "product": name.of("product", piece.product),
                                    "size": name.of("size", piece.size, piece.product),
                                }
                            )
                            for piece in sheet.pieces
                        )
                    }
                )
                for sheet in glass.sheets
            ),
        )
        for glass in layout.glasses
    )
    return layout.model_copy(update={"glasses": glasses})
