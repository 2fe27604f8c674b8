"""Edits of the studio's record and tables: prices, rates, markets, stock, plans, and the price book."""

from __future__ import annotations

import re
import subprocess
import sys
from datetime import timedelta
from pathlib import Path
from random import Random

from tests.edits.studio import NothingToEditError, Studio, one_of
from tests.publish.demo import ROOT


def _lines(path: Path) -> list[str]:
    return path.read_text(encoding="utf-8").splitlines(keepends=True)


def _write(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")


def price_row_added(studio: Studio, chance: Random) -> str:
    """A material's price from today, from some days ago or from some days to come."""
    path = studio.content / "material_prices.csv"
    material = one_of([line.split(",")[0] for line in _lines(path)[1:]], chance)
    day = studio.day + timedelta(chance.choice([-3, 0, 2]))
    row = f"{material},{day},{chance.randrange(500, 3000) / 100:.2f},\n"
    _write(path, "".join([*_lines(path), row]))
    return row.strip()


def price_row_changed(studio: Studio, chance: Random) -> str:
    """Another price in a row that stands."""
    path = studio.content / "material_prices.csv"
    head, *rows = _lines(path)
    at = chance.randrange(len(rows))
    material, day, _, note = rows[at].split(",")
    rows[at] = f"{material},{day},{chance.randrange(500, 3000) / 100:.2f},{note}"
    _write(path, "".join([head, *rows]))
    return rows[at].strip()


def price_row_removed(studio: Studio, chance: Random) -> str:
    """A row of prices taken away; where it was a material's only one, the build refuses."""
    path = studio.content / "material_prices.csv"
    head, *rows = _lines(path)
    gone = rows.pop(chance.randrange(len(rows)))
    _write(path, "".join([head, *rows]))
    return gone.strip()


def material(studio: Studio, chance: Random) -> str:
    """Another colour or another loss of a sheet of glass."""
    path = studio.content / "materials.csv"
    rows = _lines(path)
    at = one_of([index for index, row in enumerate(rows) if row.startswith("glass-")], chance)
    cells = rows[at].split(",")
    if chance.random() < 0.5:
        cells[17] = f"#{chance.randrange(1 << 24):06x}"
    else:
        cells[19] = str(chance.randrange(2, 12))
    rows[at] = ",".join(cells)
    _write(path, "".join(rows))
    return rows[at].strip()


_KEYS = (
    ("hourly_rate", '"{0}.00"', (17, 30)),
    ("overheads_a_year", '"{0}.00"', (2000, 4000)),
    ("allowance_percent", "{0}", (3, 15)),
    ("safety_factor", "{0}", (4, 8)),
    ("margin_percent", "{0}", (20, 35)),
    ("fee_percent", '"{0}"', (1, 4)),
    ("coil_mm", "{0}", (4, 9)),
    ("tagline", '"Glass for {0} windows"', (2, 99)),
    ("place", '"The Net Loft, number {0}"', (2, 99)),
)


def studio_key(studio: Studio, chance: Random) -> str:
    """Another wage, overhead, margin, fee, safety factor or word of the studio."""
    key, shape, (low, high) = chance.choice(_KEYS)
    path = studio.content / "studio.toml"
    value = shape.format(chance.randrange(low, high))
    _write(path, re.sub(rf"^{key} = .*$", f"{key} = {value}", path.read_text(encoding="utf-8"), count=1, flags=re.M))
    return f"{key} = {value}"


def units(studio: Studio, chance: Random) -> str:
    """Another currency, unit or paper."""
    path = studio.content / "studio.toml"
    key, values = chance.choice(
        [("currency", ["GBP", "EUR"]), ("units", ["metric", "imperial"]), ("paper", ["A4", "Letter"])]
    )
    value = chance.choice(values)
    _write(path, re.sub(rf"^{key} = .*$", f'{key} = "{value}"', path.read_text(encoding="utf-8"), count=1, flags=re.M))
    return f"{key} = {value}"


def step(studio: Studio, chance: Random) -> str:
    """Other minutes of a step of the work."""
    path = studio.content / "studio.toml"
    text = path.read_text(encoding="utf-8")
    found = one_of(list(re.finditer(r"^(piece|edge_m|seam_m|item) = .*$", text, re.M)), chance)
    row = f"{found[1]} = {chance.randrange(5, 60) / 10}"
    _write(path, text[: found.start()] + row + text[found.end() :])
    return row


def market(studio: Studio, chance: Random) -> str:
    """A market more, or its hours changed."""
    path = studio.content / "studio.toml"
    text = path.read_text(encoding="utf-8")
    if chance.random() < 0.5:
        day = studio.day + timedelta(chance.randrange(60))
        text += f'\n[[markets]]\nname = "Fair {chance.randrange(1000)}"\nplace = "The hall"\n'
        text += f'date = {day}\nhours = "10:00 to 16:00"\n'
    else:
        text = re.sub(r'hours = "\d+:00', f'hours = "{chance.randrange(7, 12)}:00', text, count=1)
    _write(path, text)
    return "one more" if text.endswith("\n") else "hours"


_COUNTED = ("stock.csv", "markets/quay-december.csv", "sales.csv", "bench_log.csv", "bench_made.csv", "spools.csv")


def counted_row(studio: Studio, chance: Random) -> str:
    """Another number in a row of the stock, a packing list, the sales or the bench's log."""
    path = studio.content / chance.choice(_COUNTED)
    head, *rows = _lines(path)
    at = one_of(list(range(len(rows))), chance)
    cells = rows[at].rstrip("\n").split(",")
    numbers = [index for index, cell in enumerate(cells) if re.fullmatch(r"\d+(\.\d+)?", cell)]
    cells[one_of(numbers, chance)] = str(chance.randrange(1, 40))
    rows[at] = ",".join(cells) + "\n"
    _write(path, "".join([head, *rows]))
    return f"{path.name}: {rows[at].strip()}"


def row_removed(studio: Studio, chance: Random) -> str:
    """A row taken out of the stock, a packing list, the sales or the bench's log."""
    path = studio.content / chance.choice(_COUNTED)
    head, *rows = _lines(path)
    if len(rows) < 2:
        raise NothingToEditError
    gone = rows.pop(chance.randrange(len(rows)))
    _write(path, "".join([head, *rows]))
    return f"{path.name}: {gone.strip()}"


def sending(studio: Studio, chance: Random) -> str:
    """Another weight of a box, or another price of a carrier."""
    path = studio.content / chance.choice(["boxes.csv", "postage.csv"])
    head, *rows = _lines(path)
    at = chance.randrange(len(rows))
    cells = rows[at].rstrip("\n").split(",")
    place = 6 if path.name == "boxes.csv" else 7
    cells[place] = str(chance.randrange(80, 400)) if place == 6 else f"{chance.randrange(200, 900) / 100:.2f}"
    rows[at] = ",".join(cells) + "\n"
    _write(path, "".join([head, *rows]))
    return f"{path.name}: {rows[at].strip()}"


def plan(studio: Studio, chance: Random) -> str:
    """Another count in a plan."""
    path = studio.content / "batches" / "winter.toml"
    text = re.sub(r"^count = \d+$", f"count = {chance.randrange(1, 20)}", path.read_text(encoding="utf-8"), flags=re.M)
    _write(path, text)
    return text.splitlines()[-1]


def prose(studio: Studio, chance: Random) -> str:
    """A sentence more about the maker or the care of glass, or the whole text taken away."""
    path = studio.content / chance.choice(["about.md", "care.md"])
    if path.exists() and chance.random() < 0.2:
        path.unlink()
        return f"{path.name} removed"
    before = path.read_text(encoding="utf-8") if path.exists() else ""
    _write(path, f"{before}\nWritten on a wet day, {chance.randrange(100)}.\n")
    return path.name


def price_book(studio: Studio, _chance: Random) -> str:
    """The day's prices written into the price book, by the command."""
    options = ["--folder", str(studio.project), "--day", studio.day.isoformat(), "--record"]
    command = [sys.executable, "-m", "catalog_builder", "reprice", *options]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, encoding="utf-8", check=False)
    if done.returncode:
        raise NothingToEditError
    return done.stdout.strip().splitlines()[-1]


def price_by_hand(studio: Studio, chance: Random) -> str:
    """A price that the maker writes into the book by hand."""
    path = studio.content / "price_book.csv"
    if not path.exists():
        raise NothingToEditError
    head, *rows = _lines(path)
    if "," not in head or not rows:
        raise NothingToEditError
    cells = dict(zip(head.strip().split(","), rows[chance.randrange(len(rows))].split(","), strict=False))
    whole = {**cells, "date": str(studio.day), "price": f"{chance.randrange(30, 90)}.00"}
    whole |= dict.fromkeys(("times", "plus", "why", "made_of", "seal"), "")
    row = ",".join(whole[key] for key in head.strip().split(",")) + "\n"
    _write(path, "".join([head, *rows, row]))
    return row.strip()
