"""Every reader of files that come from elsewhere, as a function of bytes: it gives a value or raises MistakeError."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path

from catalog_builder.pattern.pieces import Fitting, read_pieces
from catalog_builder.pattern.svg.drawing import read_drawing
from catalog_builder.photo_files.photo_file import PhotoError
from catalog_builder.publish.pictures.photo import check_photo
from catalog_builder.publish.theme.theme_chain import lent_keys, read_chain
from catalog_builder.records.batch_plan import Plan, PlanKeys, read_plans
from catalog_builder.records.bench_log import read_bench_log
from catalog_builder.records.drawing.drawings import RequiredDrawing, read_drawings
from catalog_builder.records.kept_layout import layout_path, read_layouts
from catalog_builder.records.materials import Materials, read_materials
from catalog_builder.records.own_page import read_own_pages
from catalog_builder.records.product import Product, read_product
from catalog_builder.records.reading.header import read_header
from catalog_builder.records.reading.source import Source, read
from catalog_builder.records.selling.boxes import read_boxes
from catalog_builder.records.selling.kept_quote import read_quote
from catalog_builder.records.selling.label_sheet import read_label_sheet
from catalog_builder.records.selling.market_book import read_market_book
from catalog_builder.records.selling.postage import read_postage
from catalog_builder.records.selling.price_book import read_price_book
from catalog_builder.records.selling.quoted_item import QuoteTables
from catalog_builder.records.selling.ready_pieces import read_ready_counts
from catalog_builder.records.selling.reductions import read_reductions
from catalog_builder.records.selling.shop_order import read_order
from catalog_builder.records.stock import read_stock
from catalog_builder.records.studio import Studio, read_studio
from catalog_builder.tracing.trace_options import read_trace_options
from catalog_builder.tracing.traced_drawing import drawing_of

ROOT = Path(__file__).resolve().parents[2]
Reader = Callable[[bytes], object]
# What a drawing is fitted by, as in a studio that sets nothing: chord, snap and foil gap in mm.
FITTING = Fitting(0.01, 0.3, 0.8)
MATERIALS = "material,title,kind,pack_size,pack_unit,thickness_mm,colour\nsea,Sea,glass,0.5,m2,3,#3f8f86\n"
MATERIAL_PRICES = "material,date,price\n"
# The bench log's tables, which are read together, and what was made in a batch that the others can name.
LOGGED = ("bench_made.csv", "bench_log.csv", "spools.csv")
MADE = b"batch,product,size,finish,glass,count\nspring,oak-leaf,medium,black,turning,4\n"
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
    source = laid("header.md", b"---\n" + data)
    found = read_header(source)
    return read_drawings(
        source, found.body, [RequiredDrawing("", None, None)], Path(_SCRATCH.name), Path(_SCRATCH.name)
    )


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


@cache
def _demo() -> tuple[Studio, dict[str, Product]]:
    """The demo's studio and two of its products, which tables lean on."""
    folders = (ROOT / "content" / "products" / name for name in ("oak-leaf", "two-waxcaps"))
    return read_studio(read(ROOT, ROOT / "content" / "studio.toml")), {
        folder.name: read_product(ROOT, folder) for folder in folders
    }


@cache
def _materials() -> Materials:
    """The demo's materials."""
    tables = (read(ROOT, ROOT / "content" / f"{name}.csv") for name in ("materials", "material_prices"))
    return read_materials(*tables)


def _alone(name: str, data: bytes) -> Path:
    """Lay bytes as the only one of the tables that are read together, and give the project's folder."""
    project = Path(_SCRATCH.name)
    for other in (*LOGGED, "sales.csv", *(f"markets/{path.name}" for path in project.glob("content/markets/*"))):
        (project / "content" / other).unlink(missing_ok=True)
    if name in LOGGED:  # the other two name a batch of the first
        laid(LOGGED[0], MADE)
    laid(name, data)
    return project


def logged(name: str) -> Reader:
    """Give the reader of one of the bench log's three tables."""
    return lambda data: read_bench_log(_alone(name, data), *_demo())


def taken(name: str) -> Reader:
    """Give the reader of a market's packing list, or of what sold."""
    return lambda data: read_market_book(_alone(name, data), _demo()[0].markets, _demo()[1])


def ready(data: bytes) -> object:
    """Read bytes as the counts of what lies ready."""
    return read_ready_counts(_alone("ready.csv", data), _demo()[1])


def reductions(data: bytes) -> object:
    """Read bytes as the table of reduced prices."""
    studio, products = _demo()
    return read_reductions(_alone("reductions.csv", data), studio.channels, ("online", "stall"), products)


def theme(data: bytes) -> object:
    """Read bytes as what a theme says of itself."""
    project = Path(_SCRATCH.name)
    path = project / "themes" / "odd" / "theme.toml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return lent_keys(read_chain(project, "odd", Source("content/studio.toml", '[studio]\ntheme = "odd"\n')))


def label_sheet(data: bytes) -> object:
    """Read bytes as a sheet of labels."""
    return read_label_sheet("odd", laid("labels/odd.toml", data))


def plans(data: bytes) -> object:
    """Read bytes as the plan of a batch, in a studio without a product."""
    laid("batches/odd.toml", data)
    return read_plans(Path(_SCRATCH.name), ())


def quote(data: bytes) -> object:
    """Read bytes as a quote, for products of the demo, or for a drawing that any bytes may be."""
    laid("quotes/own.svg", data)
    laid("quotes/odd.toml", data)
    project, (known, products) = Path(_SCRATCH.name), _demo()
    return read_quote(project / "content" / "quotes" / "odd.toml", QuoteTables(project, known, _materials(), products))


def order(data: bytes) -> object:
    """Read bytes as the table of a shop's order."""
    laid("orders/odd.csv", data)
    laid("orders/odd.toml", b'buyer = "Shop"\ndated = 2026-01-02\n')
    return read_order(Path(_SCRATCH.name), "odd")


def own_page(data: bytes) -> object:
    """Read bytes as a page of the studio's own."""
    laid("pages/odd.md", data)
    return read_own_pages(Path(_SCRATCH.name))


def layout(data: bytes) -> object:
    """Read bytes as the kept layout of a plan."""
    source = laid("layout.json", data)
    path = layout_path(Path(_SCRATCH.name), "odd")
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(source.text, encoding="utf-8")
    return read_layouts(Path(_SCRATCH.name), [Plan("odd", PlanKeys.model_construct(), (), source)])


# A table by the name of its file, or ``markets``, with its reader and a column that it alone has of those below it.
_BY_COLUMN: Mapping[str, tuple[bytes, Reader]] = {
    "materials.csv": (b"kind", materials),
    "price_book.csv": (b"seal", price_book),
    "boxes.csv": (b"inner_length_mm", boxes),
    "postage.csv": (b"carrier", postage),
    "stock.csv": (b"amount", stock),
    "bench_log.csv": (b"minutes", logged("bench_log.csv")),
    "spools.csv": (b"before_g", logged("spools.csv")),
    "bench_made.csv": (b"batch", logged("bench_made.csv")),
    "sales.csv": (b"market", taken("sales.csv")),
    "reductions.csv": (b"first_day", reductions),
    "ready.csv": (b"date,product", ready),
    "markets": (b"count", taken("markets/apple-day.csv")),
    "material_prices.csv": (b"", material_prices),
}
TABLES: Mapping[str, Reader] = {name: reader for name, (_, reader) in _BY_COLUMN.items()}


def named_by(data: bytes) -> str:
    """Tell which table bytes are by the columns that they name."""
    head = data.partition(b"\n")[0]
    return next(name for name, (column, _) in _BY_COLUMN.items() if column in head)


def table(data: bytes) -> object:
    """Read bytes as that table of content/ whose columns they name."""
    return TABLES[named_by(data)](data)


def photo(data: bytes) -> object:
    """Look at the head of bytes as a photo."""
    path = Path(_SCRATCH.name) / "photo"
    path.write_bytes(data)
    try:
        check_photo(path)
    except PhotoError as fault:
        return fault
    return None


def paper(data: bytes) -> object:
    """Trace bytes as the scan of a drawing on paper."""
    path = Path(_SCRATCH.name) / "paper"
    path.write_bytes(data)
    return drawing_of(path, read_trace_options(dpi=200))


READERS: Mapping[str, Reader] = {
    "record": record,
    "header": header,
    "drawing": drawing,
    "studio": studio,
    "table": table,
    "photo": photo,
    "paper": paper,
    "label_sheet": label_sheet,
    "plan": plans,
    "quote": quote,
    "order": order,
    "layout": layout,
    "own_page": own_page,
    "theme": theme,
}
