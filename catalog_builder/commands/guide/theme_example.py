"""A worked example in which every page and sheet of a theme has something to show."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from catalog_builder.build import calculate
from catalog_builder.commands.begin import lay_out
from catalog_builder.commands.reprice import record_prices
from catalog_builder.making.cutting_list import BatchGlass, fingerprint
from catalog_builder.planning.kept_glass import KeptGlass
from catalog_builder.planning.plan_layout import read_plan_glass
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.records.kept_layout import KeptLayout, LaidGlass, LaidSheet, PlacedPiece, keep_layout

DAY = date(2027, 1, 4)
_MARKET = """
[[markets]]
name = "Winter market"
place = "The hall"
date = 2026-12-12
hours = "10:00 to 16:00"
code = "winter"
pitch_fee = 30
stall_hours = 8

[[markets]]
name = "Candle market"
place = "The hall"
date = 2027-02-06
hours = "10:00 to 16:00"
code = "candle"
change = [{ each = 5, count = 6 }]
"""
_FILES = {
    "bench_made.csv": "batch,product,size,finish,glass,count\n"
    "one,rowan-leaf,small,black,summer,6\ntwo,rowan-leaf,large,black,summer,4\n"
    "three,rowan-leaf,small,black,summer,8\nfour,rowan-leaf,small,black,summer,5\n",
    "bench_log.csv": "date,batch,step,minutes\n2026-11-02,one,cut,70\n2026-11-09,two,cut,62\n"
    "2026-11-16,three,cut,80\n2026-11-23,four,cut,50\n",
    "spools.csv": "batch,before_g,after_g\none,500,430\ntwo,430,350\nthree,350,300\n",
    "batches/spring.toml": 'title = "Spring"\nbegins = 2027-01-11\nready_by = 2027-01-22\nhours_a_day = 5\n'
    'make = [{product = "rowan-leaf", size = "small", finish = "black", glass = "summer", count = 6}]\n',
    "stock.csv": "material,amount,unit,width_mm,height_mm\ngreen-clear,1,,,\n",
    "quotes/porch.toml": 'buyer = "Mrs Alder"\ndated = 2027-01-02\nuntil = 2027-01-03\ndeposit_percent = 50\n'
    'ready_by = 2027-03-01\ndelivery = "Fetched from the shed."\ncarriage = 5\nterms = "As agreed."\n'
    'items = [{product = "rowan-leaf", width = "150 mm", finish = "black", glass = "summer", note = "Larger."}]\n',
    "orders/corner.csv": "code,count\nrowan-leaf--small--black--summer,4\n",
    "orders/corner.toml": 'buyer = "Corner shop"\ndated = 2027-01-04\nreference = "7"\nready_by = 2027-02-01\n'
    'carriage = 8\nterms = "As agreed."\n',
    "markets/winter.csv": "product,size,finish,glass,count,box\nrowan-leaf,small,black,summer,4,A\n",
    "markets/candle.csv": "product,size,finish,glass,count,box\nrowan-leaf,large,copper,autumn,3,A\n",
    "reductions.csv": "product,size,finish,glass,first_day,last_day,reason,percent,earlier,under_floor\n"
    "rowan-leaf,large,copper,autumn,2027-01-01,2027-12-31,sale,10,20.00,yes\n",
    "ready.csv": "date,product,size,finish,glass,count\n2027-01-02,rowan-leaf,small,black,summer,2\n",
    "sets/leaf-and-pennant/set.md": "---\ntitle: Leaf and pennant\nsummary: A leaf with a pennant.\n"
    "series: leaves\nadded: 2026-10-01\nless_percent: 10\nmade_of:\n"
    "  - {product: rowan-leaf, size: small, finish: black, glass: summer}\n"
    "  - {product: quartered-pennant}\n---\nTwo that hang well side by side.\n",
    "terms.md": "Pay when it is ready.\n",
    "pages/imprint.md": "---\ntitle: Imprint\n---\nWho made this.\n",
    "sales.csv": "market,product,size,finish,glass,count,price\nwinter,rowan-leaf,small,black,summer,2,24.00\n",
}


def lay_out_example(folder: Path) -> None:
    """Write the starter's example, and into it a book of prices, dearer glass, batches, a market and its sales."""
    lay_out(folder)
    content = folder / "content"
    record = content / "products" / "rowan-leaf" / "product.md"
    text = record.read_text(encoding="utf-8")
    record.write_text(
        text.replace("\nfinishes:", "\nformerly: [leaf]\nsame_price_for: [glass]\nfinishes:", 1), encoding="utf-8"
    )
    record_prices(folder, calculate(folder, DAY, quiet), None)
    _add(content / "material_prices.csv", *(f"{name},{DAY},900.00,\n" for name in ("green-streaky", "green-clear")))
    _add(content / "studio.toml", _MARKET)
    _open_to_shops(content / "studio.toml")
    for name, text in _FILES.items():
        (content / name).parent.mkdir(parents=True, exist_ok=True)
        (content / name).write_text(text, encoding="utf-8")
    _lay_batch(folder)


def _open_to_shops(path: Path) -> None:
    """Show the trade prices to shops, with all that their list says of an order."""
    terms = (
        'shown_on = "shops"\nterms = "Payment within 30 days."\nleast_order = 3\nleast_first_order = 6\nlead_days = 28'
    )
    text = path.read_text(encoding="utf-8").replace('shown_on = "private"', terms)
    path.write_text(text, encoding="utf-8", newline="\n")


def _lay_batch(folder: Path) -> None:
    """Keep a layout of the example's plan: all copies of a piece in a row, row under row, so that none is packed."""
    calculated = calculate(folder, DAY, quiet)
    content, plan = calculated.content, calculated.content.plans[0]
    clearance = content.studio.making.cutting_clearance_mm
    plan_glass = read_plan_glass(plan, None, KeptGlass(content.materials.rows, clearance), calculated.calculations)
    glasses = tuple(
        LaidGlass(material=glass.material.material, sheets=(_in_rows(glass, float(clearance)),))
        for glass in plan_glass.glasses
    )
    layout = KeptLayout(laid_on=DAY, fingerprint=fingerprint(plan_glass.glasses, clearance), glasses=glasses)
    keep_layout(folder, plan_glass.plan.name, layout)


def _in_rows(glass: BatchGlass, clearance_mm: float) -> LaidSheet:
    placed, top, used = list[PlacedPiece](), clearance_mm, 0.0
    for piece in glass.pieces:
        width, height = piece.outline.bounds[2:]
        for number in range(piece.count + piece.spares):
            x = round(clearance_mm + number * (width + clearance_mm), 3)
            spare = number >= piece.count
            placed.append(PlacedPiece(**piece.key._asdict(), turn=0, x=x, y=round(top, 3), spare=spare))
            used = max(used, x + width + clearance_mm)
        top += height + clearance_mm
    across, down = glass.sheet_mm or (0.0, 0.0)
    return LaidSheet(offcut=False, width_mm=across, height_mm=down, used_mm=round(used + 0.01, 3), pieces=tuple(placed))


def _add(path: Path, *lines: str) -> None:
    with path.open("a", encoding="utf-8") as file:
        file.writelines(lines)
