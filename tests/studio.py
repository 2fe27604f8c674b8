"""An invented studio for tests, as small as a studio can be: its texts, and its folder read as content."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from datetime import date
from io import StringIO
from pathlib import Path

from catalog_builder.cache.store import Store
from catalog_builder.pattern.measured import measure
from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.piece.assembly import Assembler
from catalog_builder.piece.hanging.loops import with_rim_loops
from catalog_builder.piece.hanging.suspension import Suspension, hang_piece
from catalog_builder.piece.made_piece import MadePiece, make_piece
from catalog_builder.piece.standing.standing_piece import stand_piece
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.suppositions.assumptions import Assumptions
from catalog_builder.publish.product_calculation import ProductCalculator
from catalog_builder.records.content import Content, read_content
from catalog_builder.records.material import Material
from catalog_builder.records.product import Product

DAY = date(2031, 5, 20)

TABLES = {
    "studio": """
name = "Sedge and Lantern"
maker = "Wenna Tull"
tagline = "Small glass for small windows"
place = "The Old Ferry Shed"
email = "wenna@sedge.example"
address = "https://sedge.example/"
currency = "EUR"
language = "en-GB"
""",
    "bench": 'hourly_rate = "30"\nbench_hours_a_year = 800\nallowance_percent = 20\nbatch = 5',
    "making": 'solder = "solder"\nwire = "wire"',
    "hanging": "safety_factor = 5",
    "steps.cut": 'title = "Cut"\nbatch = 10\npiece = 2',
    "finishes.bright": 'title = "Bright"',
    "channels.online": 'title = "Own site"\nshown_on = "catalogue"\nmarkup_percent = 50',
    "channels.stall": 'title = "Stall"\nshown_on = "stall"\nmarkup_percent = 50',
    "channels.trade": 'title = "Shops"\nshown_on = "private"\nmarkup_percent = 20',
    "series.panes": 'title = "Panes"\nsummary = "Plain panes."',
}

Cells = Mapping[str, str]
MATERIALS: Mapping[str, Cells] = {
    "reed": {
        "kind": "glass",
        "pack_size": "1",
        "pack_unit": "dm2",
        "thickness_mm": "3",
        "has_grain": "yes",
        "colour": "#446655",
    },
    "slate": {
        "kind": "glass",
        "pack_size": "1",
        "pack_unit": "dm2",
        "thickness_mm": "3",
        "colour": "#334455",
    },
    "foil-narrow": {
        "kind": "foil",
        "pack_size": "33",
        "pack_unit": "m",
        "width_mm": "4.76",
        "thickness_mm": "0.03",
    },
    "foil-wide": {
        "kind": "foil",
        "pack_size": "33",
        "pack_unit": "m",
        "width_mm": "5.56",
        "thickness_mm": "0.03",
    },
    "solder": {"kind": "solder", "pack_size": "500", "pack_unit": "g", "alloy": "Sn60Pb40"},
    "wire": {"kind": "wire", "pack_size": "10", "pack_unit": "m", "gauge_awg": "20", "density_g_cm3": "8.89"},
    "ring-small": {
        "kind": "ring",
        "pack_size": "50",
        "pack_unit": "each",
        "mass_g": "0.4",
        "length_mm": "6",
        "rated_load_g": "1500",
    },
    "ring-large": {
        "kind": "ring",
        "pack_size": "50",
        "pack_unit": "each",
        "mass_g": "1.5",
        "length_mm": "9",
        "rated_load_g": "9000",
    },
    "hook": {
        "kind": "hook",
        "pack_size": "25",
        "pack_unit": "each",
        "mass_g": "2",
        "length_mm": "30",
        "rated_load_g": "5000",
    },
    "cord": {
        "kind": "cord",
        "pack_size": "50",
        "pack_unit": "m",
        "mass_g": "1",
        "length_mm": "1000",
        "rated_load_g": "9000",
    },
    "chain": {
        "kind": "chain",
        "pack_size": "10",
        "pack_unit": "m",
        "mass_g": "8",
        "length_mm": "1000",
        "rated_load_g": "6000",
    },
}
# The price of a pack; each material's first row.
PRICES: Mapping[str, str] = dict.fromkeys(MATERIALS, "12.00")
FIRST_DAY = "2030-01-01"

# Two pieces side by side, 100 x 60 mm, with a ring where their seam meets the upper rim.
PANE = """
<rect width="100" height="60" data-glass="left"/>
<line x1="50" y1="0" x2="50" y2="60"/>
<text x="25" y="30" data-glass="left">1</text>
<text x="75" y="30" data-glass="right">2</text>
"""
PANE_RING = '<circle data-mark="ring" cx="50" cy="0" r="1"/>'
BOX = 'width="100mm" height="60mm" viewBox="0 0 100 60"'
GLASS = "{left: reed, right: slate}"


def record(drawing: str = PANE + PANE_RING, box: str = BOX, glass: str = GLASS, keys: str = "") -> str:
    """The text of a product's record around a drawing; ``keys`` are further lines of its header."""
    return f"""---
title: Pane
summary: A pane of two.
series: panes
added: 2031-01-02
finishes: [bright]
glass:
  plain:
    pieces: {glass}
{keys}
---
Two panes.

```svg
<svg xmlns="http://www.w3.org/2000/svg" {box}>
{drawing}
</svg>
```
"""


def table(rows: list[dict[str, str]]) -> str:
    """Rows as CSV, with every column that one of them has."""
    columns = list(dict.fromkeys(column for row in rows for column in row))
    text = StringIO()
    writer = csv.DictWriter(text, columns, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()


def studio_text(tables: Mapping[str, str]) -> str:
    """The text of studio.toml; ``tables`` are added to the usual ones, or stand in their place."""
    return "\n".join(f"[{name}]\n{text}" for name, text in {**TABLES, **tables}.items())


def project(
    root: Path,
    records: Mapping[str, str],
    tables: Mapping[str, str] | None = None,
    materials: Mapping[str, Cells] | None = None,
    prices: str = "",
) -> Path:
    """A project's folder: its records by name, and what differs from the usual studio.

    ``materials`` are cells added to a material or a material added to the table; ``prices`` are further
    rows of material, date, price.
    """
    known = dict.fromkeys([*MATERIALS, *(materials or {})])
    rows = [
        {"material": name, "title": name, **MATERIALS.get(name, {}), **(materials or {}).get(name, {})}
        for name in known
    ]
    dated = "".join(f"{name},{FIRST_DAY},{PRICES.get(name, '12.00')}\n" for name in known)
    texts = {
        "studio.toml": studio_text(tables or {}),
        "materials.csv": table(rows),
        "material_prices.csv": f"material,date,price\n{dated}{prices}",
        **{f"products/{name}/product.md": text for name, text in records.items()},
    }
    for name, text in texts.items():
        path = root / "content" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return root


def content(
    root: Path,
    text: str | None = None,
    tables: Mapping[str, str] | None = None,
    materials: Mapping[str, Cells] | None = None,
    prices: str = "",
) -> Content:
    """The content of a studio with one product, ``pane``, on the usual day."""
    return read_content(project(root, {"pane": text or record()}, tables, materials, prices), DAY)


def makings(found: Content) -> list[MadePiece]:
    """The first product at each of its sizes, in its first choice of glass."""
    product, making = found.products[0], found.studio.making
    choice = next(iter(product.keys.glass.values()))
    sizes = read_sizes(product, making, found.materials)
    made = [make_piece(product, choice, measure(product, sized, making), found.materials, making) for sized in sizes]
    if not product.keys.hang.by.hangs:
        return made
    return [with_rim_loops(piece, product, found.materials, making) for piece in made]


def hung(found: Content, product: Product, piece: MadePiece) -> Suspension:
    """A piece as it hangs by a studio's hardware, or stands."""
    hold = hang_piece if product.keys.hang.by.hangs else stand_piece
    return hold(piece, product, found.materials, found.day, found.studio.making, found.studio.hanging)


def ring_of(piece: Suspension) -> Material:
    """The ring that a piece hangs by."""
    assert piece.ring is not None
    return piece.ring


def suspension(found: Content) -> Suspension:
    """The first product as it hangs, at its first size."""
    return hung(found, found.products[0], makings(found)[0])


def assembler(found: Content) -> Assembler:
    """One that takes nothing from earlier builds."""
    return calculator(found).assembler


def calculator(found: Content) -> ProductCalculator:
    """One that takes nothing from earlier builds."""
    return ProductCalculator.of(found, Store(found.project / "nowhere" / "made"))


def assumed(found: Content) -> Assumptions:
    """What can be supposed otherwise of a studio."""
    return Assumptions(found.studio, found.materials, found.products, found.day)


def calculations(found: Content) -> list[VariantCalculation]:
    """Every variant of the first product, reckoned."""
    return calculator(found).variants(found.products[0], [])
