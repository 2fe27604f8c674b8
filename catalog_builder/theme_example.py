"""A worked example in which every page and sheet of a theme has something to show."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from catalog_builder.build import quiet, reckon
from catalog_builder.price_report import record_prices
from catalog_builder.starter import lay_out

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
    "batches.csv": "batch,product,size,finish,glass,count\n"
    "one,rowan-leaf,small,black,summer,6\ntwo,rowan-leaf,large,black,summer,4\n"
    "three,rowan-leaf,small,black,summer,8\nfour,rowan-leaf,small,black,summer,5\n",
    "bench_log.csv": "date,batch,step,minutes\n2026-11-02,one,cut,70\n2026-11-09,two,cut,62\n"
    "2026-11-16,three,cut,80\n2026-11-23,four,cut,50\n",
    "spools.csv": "batch,before_g,after_g\none,500,430\ntwo,430,350\nthree,350,300\n",
    "markets/winter.csv": "product,size,finish,glass,count,box\nrowan-leaf,small,black,summer,4,A\n",
    "markets/candle.csv": "product,size,finish,glass,count,box\nrowan-leaf,large,copper,autumn,3,A\n",
    "sales.csv": "market,product,size,finish,glass,count,price\nwinter,rowan-leaf,small,black,summer,2,24.00\n",
}


def lay_out_example(folder: Path) -> None:
    """Write the starter's example, and into it a book of prices, dearer glass, batches, a market and its sales."""
    lay_out(folder)
    content = folder / "content"
    record_prices(folder, reckon(folder, DAY, quiet), None)
    _add(content / "material_prices.csv", *(f"{name},{DAY},900.00,\n" for name in ("green-streaky", "green-clear")))
    _add(content / "studio.toml", _MARKET)
    for name, text in _FILES.items():
        (content / name).parent.mkdir(exist_ok=True)
        (content / name).write_text(text, encoding="utf-8")


def _add(path: Path, *lines: str) -> None:
    with path.open("a", encoding="utf-8") as file:
        file.writelines(lines)
