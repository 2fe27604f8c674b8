"""Every reader of files that come from elsewhere, as a function of bytes: it gives a value or raises MistakeError."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

from catalog_builder.mistake import MistakeError
from catalog_builder.pattern.drawing import read_drawing
from catalog_builder.pattern.pieces import Fitting, read_pieces
from catalog_builder.pictures.photo import PhotoError, check_photo
from catalog_builder.records.batch import Plan, PlanKeys, read_plans
from catalog_builder.records.bench_log import TimingKeys
from catalog_builder.records.boxes import read_boxes
from catalog_builder.records.drawings import Wanted, read_drawings
from catalog_builder.records.entries import read_entries
from catalog_builder.records.header import read_header
from catalog_builder.records.kept_layout import layout_path, read_layouts
from catalog_builder.records.label_sheet import read_label_sheet
from catalog_builder.records.materials import read_materials
from catalog_builder.records.postage import read_postage
from catalog_builder.records.price_book import read_price_book
from catalog_builder.records.product import read_product
from catalog_builder.records.source import Source, read
from catalog_builder.records.stock import read_stock
from catalog_builder.records.studio import read_studio

Reader = Callable[[bytes], object]
# What a drawing is fitted by, as in a studio that sets nothing: chord, snap and foil gap in mm.
FITTING = Fitting(0.01, 0.3, 0.8)
MATERIALS = "material,title,kind,pack_size,pack_unit,thickness_mm,colour\nsea,Sea,glass,0.5,m2,3,#3f8f86\n"
MATERIAL_PRICES = "material,date,price\n"
_SCRATCH = tempfile.TemporaryDirectory(prefix="readers-")


def laid(name: str, data: bytes) -> Source:
    """Lay bytes as a file of a project's content/, and read it as text."""
    project = Path(_SCRATCH.name)
    path = project / "content" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return read(project, path)


def record(data: bytes) -> object:
    """Read bytes as a product's record, its drawings' blocks parted from its text."""
    source = laid("products/one/product.md", data)
    project = Path(_SCRATCH.name)
    return read_product(project, project / Path(source.path).parent)


def header(data: bytes) -> object:
    """Read bytes as the header of a record, and what follows as its body with a drawing."""
    found = read_header(laid("header.md", b"---\n" + data))
    return read_drawings(found.body, [Wanted("", None, None)], Path(_SCRATCH.name), Path(_SCRATCH.name))


def drawing(data: bytes) -> object:
    """Read bytes as a drawing, up to its pieces."""
    return read_pieces(read_drawing(laid("drawing.svg", data)), 1.0, FITTING, None)


def studio(data: bytes) -> object:
    """Read bytes as studio.toml."""
    return read_studio(laid("studio.toml", data))


def materials(data: bytes) -> object:
    """Read bytes as the table of materials."""
    return read_materials(laid("materials.csv", data), Source("content/material_prices.csv", MATERIAL_PRICES))


def material_prices(data: bytes) -> object:
    """Read bytes as the table of the materials' prices."""
    return read_materials(Source("content/materials.csv", MATERIALS), laid("material_prices.csv", data))


def price_book(data: bytes) -> object:
    """Read bytes as the price book."""
    return read_price_book(laid("price_book.csv", data))


def boxes(data: bytes) -> object:
    """Read bytes as the table of boxes."""
    return read_boxes(laid("boxes.csv", data), {"box-small"})


def postage(data: bytes) -> object:
    """Read bytes as the carriers' bands."""
    return read_postage(laid("postage.csv", data))


def stock(data: bytes) -> object:
    """Read bytes as the table of what is in stock."""
    return read_stock(laid("stock.csv", data), {})


def timings(data: bytes) -> object:
    """Read bytes as the bench log."""
    laid("bench_log.csv", data)
    project = Path(_SCRATCH.name)
    found = read_entries(project, project / "content" / "bench_log.csv", TimingKeys, {"date": "date"})
    if found.mistakes:
        raise MistakeError(found.mistakes)
    return found


def label_sheet(data: bytes) -> object:
    """Read bytes as a sheet of labels."""
    return read_label_sheet("odd", laid("labels/odd.toml", data))


def plans(data: bytes) -> object:
    """Read bytes as the plan of a batch, in a studio without a product."""
    laid("batches/odd.toml", data)
    return read_plans(Path(_SCRATCH.name), ())


def layout(data: bytes) -> object:
    """Read bytes as the kept layout of a plan."""
    source = laid("layout.json", data)
    path = layout_path(Path(_SCRATCH.name), "odd")
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(source.text, encoding="utf-8")
    return read_layouts(Path(_SCRATCH.name), [Plan("odd", PlanKeys.model_construct(), (), source)])


TABLES: Mapping[str, Reader] = {
    "materials.csv": materials,
    "material_prices.csv": material_prices,
    "price_book.csv": price_book,
    "boxes.csv": boxes,
    "postage.csv": postage,
    "stock.csv": stock,
    "bench_log.csv": timings,
}


def table(data: bytes) -> object:
    """Read bytes as that table of content/ whose columns they name."""
    head = data.partition(b"\n")[0]
    signs = {b"kind": "materials.csv", b"variant": "price_book.csv", b"box": "boxes.csv", b"carrier": "postage.csv"}
    signs |= {b"minutes": "bench_log.csv", b"quantity": "stock.csv"}
    meant = next((name for sign, name in signs.items() if sign in head), "material_prices.csv")
    return TABLES[meant](data)


def photo(data: bytes) -> object:
    """Look at the head of bytes as a photo."""
    path = Path(_SCRATCH.name) / "photo"
    path.write_bytes(data)
    try:
        check_photo(path)
    except PhotoError as fault:
        return fault
    return None


READERS: Mapping[str, Reader] = {
    "record": record,
    "header": header,
    "drawing": drawing,
    "studio": studio,
    "table": table,
    "photo": photo,
    "label_sheet": label_sheet,
    "plan": plans,
    "layout": layout,
}
