"""Edits of products: words, drawings, what is offered, and whole folders."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from random import Random

from tests.edits.record import Record
from tests.edits.studio import NothingToEditError, Studio, one_of

_WORDS = ("kelp", "tide", "frost", "ebb", "rushes", "low sun", "a bright morning", '«Ebbe» & "Flut"', "<wrack>")
_PAIR = re.compile(r"(\d+(?:\.\d+)?),(\d+(?:\.\d+)?)|(\d+\.\d+) (\d+\.\d+)")
_NUMBERED = re.compile(r'(<text x="[\d.]+" y="[\d.]+"[^>]*>)(\d+)(</text>)')
# Tables that name products: where a folder is renamed, a maker mends them too.
_NAMING = ("bench_made.csv", "sales.csv", "markets/quay-december.csv", "batches/winter.toml", "price_book.csv")


def _record(studio: Studio, chance: Random) -> Record:
    return Record(one_of(studio.products, chance))


def summary(studio: Studio, chance: Random) -> str:
    """Say something else of a product in one line."""
    record = _record(studio, chance)
    record.keys["summary"] = f"Cut for {chance.choice(_WORDS)}, {chance.randrange(100)}."
    record.write()
    return f"{record.path.parent.name}: {record.keys['summary']}"


def description(studio: Studio, chance: Random) -> str:
    """Add a sentence to a description."""
    record = _record(studio, chance)
    record.body = f"\nI thought of *{chance.choice(_WORDS)}* {chance.randrange(100)} times.\n" + record.body
    record.write()
    return record.path.parent.name


def title(studio: Studio, chance: Random) -> str:
    """Give a product another title."""
    record = _record(studio, chance)
    record.keys["title"] = f"{record.keys['title'].partition(',')[0]}, {chance.randrange(1000)}"
    record.write()
    return f"{record.path.parent.name}: {record.keys['title']}"


def series(studio: Studio, chance: Random) -> str:
    """Move a product to another series."""
    record = _record(studio, chance)
    record.keys["series"] = chance.choice(["shore", "wood", "sky", "quay"])
    record.write()
    return f"{record.path.parent.name}: {record.keys['series']}"


def availability(studio: Studio, chance: Random) -> str:
    """Sell a product, or have it again."""
    record = _record(studio, chance)
    record.keys["availability"] = chance.choice(["sold", "in stock", "made to order"])
    record.write()
    return f"{record.path.parent.name}: {record.keys['availability']}"


def batch_size(studio: Studio, chance: Random) -> str:
    """Make a product in larger or smaller batches."""
    record = _record(studio, chance)
    record.keys["batch"] = chance.randrange(2, 12)
    record.write()
    return f"{record.path.parent.name}: {record.keys['batch']}"


def misspelt(studio: Studio, chance: Random) -> str:
    """Misspell a key or a word of a record, which the build refuses."""
    record = _record(studio, chance)
    if chance.random() < 0.5:
        record.keys["series"] = "shoore"
    else:
        record.keys["finishez"] = record.keys.pop("finishes")
    record.write()
    return record.path.parent.name


def _drawing(studio: Studio, chance: Random) -> tuple[Path, Record | None, str]:
    """Choose a drawing, in a record or in a file of its own."""
    files = sorted((studio.content / "products").glob("*/*.svg"))
    records = [record for folder in studio.products if (record := Record(folder)).drawing]
    drawings: list[Path | Record] = [*files, *records]
    chosen = one_of(drawings, chance)
    if isinstance(chosen, Record):
        return chosen.path, chosen, chosen.drawing
    return chosen, None, chosen.read_text(encoding="utf-8")


def _redraw(path: Path, record: Record | None, drawing: str) -> None:
    if record is None:
        path.write_text(drawing, encoding="utf-8", newline="\n")
    else:
        record.redraw(drawing)
        record.write()


def vertex(studio: Studio, chance: Random) -> str:
    """Move a point of a drawing by less than a millimetre."""
    path, record, drawing = _drawing(studio, chance)
    found = one_of(list(_PAIR.finditer(drawing)), chance)
    at = 1 if found.group(1) else 3
    x, y = (float(found.group(at + place)) + chance.choice([-0.3, -0.02, 0.02, 0.3]) for place in (0, 1))
    moved = f"{x:.3f},{y:.3f}" if at == 1 else f"{x:.3f} {y:.3f}"
    _redraw(path, record, drawing[: found.start()] + moved + drawing[found.end() :])
    return f"{path.parent.name}/{path.name}: {found.group()} to {moved}"


def numbers(studio: Studio, chance: Random) -> str:
    """Change over the numbers of two pieces."""
    path, record, drawing = _drawing(studio, chance)
    there = [found.group(2) for found in _NUMBERED.finditer(drawing)]
    if len(there) < 2:
        raise NothingToEditError
    one, other = chance.sample(there, 2)
    over = {one: other, other: one}
    drawing = _NUMBERED.sub(lambda found: found[1] + over.get(found[2], found[2]) + found[3], drawing)
    _redraw(path, record, drawing)
    return f"{path.parent.name}/{path.name}: {one} and {other}"


def grain(studio: Studio, chance: Random) -> str:
    """Turn the grain of all pieces."""
    record = _record(studio, chance)
    record.keys["grain"] = chance.choice(["along", 0, 30, 90, 135])
    record.write()
    return f"{record.path.parent.name}: {record.keys['grain']}"


def glass(studio: Studio, chance: Random) -> str:
    """Take another sheet for one word of a choice of glass."""
    record = _record(studio, chance)
    choice = one_of(list(record.keys["glass"]), chance)
    pieces = record.keys["glass"][choice]["pieces"]
    word = one_of(list(pieces), chance)
    pieces[word] = chance.choice(["glass-tide", "glass-ruby", "glass-bone", "glass-rain", "glass-sky"])
    record.write()
    return f"{record.path.parent.name}: {choice} {word} {pieces[word]}"


def variants(studio: Studio, chance: Random) -> str:
    """Offer a size, a finish or a choice of glass more or less."""
    record = _record(studio, chance)
    kind = chance.choice(["sizes", "finishes", "glass"])
    if kind == "sizes":
        sizes = record.keys.setdefault("sizes", {"small": "85 mm", "medium": "100 mm"})
        if not sizes.pop("middling", None):
            sizes["middling"] = f"{chance.randrange(90, 110)} mm"
    elif kind == "finishes":
        found = record.keys["finishes"]
        finish = chance.choice(["black", "copper", "bright"])
        record.keys["finishes"] = [one for one in found if one != finish] if finish in found else [*found, finish]
    else:
        choices = record.keys["glass"]
        if not choices.pop("second", None):
            choices["second"] = {**next(iter(choices.values())), "title": "Second thoughts"}
    record.write()
    return f"{record.path.parent.name}: {kind}"


def rename_folder(studio: Studio, chance: Random) -> str:
    """Give a product's folder another name; mostly also where the maker's tables name it."""
    folder = one_of(studio.products, chance)
    name = f"{folder.name.rstrip('0123456789-')}-{chance.randrange(1000)}"
    folder.rename(folder.with_name(name))
    if chance.random() < 0.8:
        for table in (studio.content / one for one in _NAMING):
            if table.exists():
                text = table.read_text(encoding="utf-8")
                table.write_text(re.sub(rf"\b{folder.name}\b(?!-)", name, text), encoding="utf-8", newline="\n")
    return f"{folder.name} to {name}"


def delete_product(studio: Studio, chance: Random) -> str:
    """Take a product away, with the rows that name it; never the last two."""
    if len(studio.products) < 3:
        raise NothingToEditError
    folder = one_of(studio.products, chance)
    shutil.rmtree(folder)
    for table in (studio.content / one for one in _NAMING if one.endswith(".csv")):
        if table.exists():
            lines = table.read_text(encoding="utf-8").splitlines(keepends=True)
            table.write_text("".join(one for one in lines if f",{folder.name}," not in f",{one}"), encoding="utf-8")
    return folder.name


def copy_product(studio: Studio, chance: Random) -> str:
    """Add a product that is another one under another title."""
    if len(studio.products) > 5:
        raise NothingToEditError
    folder = one_of(studio.products, chance)
    again = folder.with_name(f"{folder.name.rstrip('0123456789-')}-{chance.randrange(1000)}")
    shutil.copytree(folder, again)
    record = Record(again)
    record.keys["title"] = f"Again, {chance.randrange(1000)}"
    record.write()
    return f"{folder.name} as {again.name}"
