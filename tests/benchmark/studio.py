"""An invented studio of any size: ``python -m tests.benchmark.studio FOLDER PRODUCTS [PHOTOS]`` lays out its content/.

Product number k is the same in a studio of every size, today and tomorrow: its chance begins at its own number.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from shutil import copyfile

import click
import numpy as np

from catalog_builder.records.reading.values import MOST_NAME
from tests.benchmark import line_work, outlines
from tests.benchmark.pen import Design
from tests.benchmark.words import ENDINGS, FIRST, KINDS, LAST, MIDDLES, OPENINGS, SUMMARIES, Kind

DAY = date(2026, 11, 25)
SEED = 20261125
SHELF = Path(__file__).parent / "shelf"
DESIGNS: dict[str, Callable[[np.random.Generator], Design]] = {
    "leaf": line_work.leaf,
    "moon": line_work.moon,
    "lantern": line_work.lantern,
    "roundel": outlines.roundel,
    "scallop": outlines.scallop,
    "panel": outlines.panel,
}
SIZES = {"small": 0.85, "large": 1.1}
ABOUT = "Oda Pennick cuts and solders in a seed store at Elderstile, with the door open to the lane.\n"
CARE = "Dust it with a soft dry cloth. Look at its ring and what it hangs from once a year.\n"


def lay_out(root: Path, products: int, photos: int = 0) -> None:
    """Write content/ of a studio with a number of products; ``photos`` are spread over them from the first one on."""
    content = root / "content"
    content.mkdir(parents=True, exist_ok=True)
    for table in sorted(SHELF.iterdir()):
        copyfile(table, content / table.name)
    (content / "about.md").write_text(ABOUT, encoding="utf-8")
    (content / "care.md").write_text(CARE, encoding="utf-8")
    for index in range(products):
        own = photos // products + (index < photos % products)
        folder = content / "products" / slug(index)
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "product.md").write_text(record(index, own), encoding="utf-8")
        if own:
            from tests.benchmark.photos import take

            first = index * (photos // products) + min(index, photos % products)
            for count in range(own):
                take(folder / f"photo-{count + 1}.jpg", first + count)


def title(index: int) -> str:
    """Give a product's title; no two are the same.

    Raises:
        ValueError: there are more products than titles.
    """
    kind, at = _kind(index), index // len(KINDS)
    count = len(FIRST) * len(kind.nouns) * len(LAST)
    if at >= count:
        raise ValueError(f"a studio has up to {count * len(KINDS)} products")
    # A step that shares no factor with the count comes by every title once, and far apart.
    at = at * 2741 % count
    first, rest = at % len(FIRST), at // len(FIRST)
    return f"{FIRST[first]} {kind.nouns[rest % len(kind.nouns)]} {LAST[rest // len(kind.nouns)]}"


def slug(index: int) -> str:
    """Give the name of a product's folder, which may be no longer than the program allows."""
    return title(index).lower().replace("'", "").replace(" ", "-")[:MOST_NAME].rstrip("-")


def record(index: int, photos: int = 0) -> str:
    """Give the text of a product's record."""
    chance = np.random.default_rng([SEED, index])
    name, kind = list(KINDS)[index % len(KINDS)], _kind(index)
    design = DESIGNS[name](chance)
    drawing = design.svg()
    pieces = drawing.count("<text") or drawing.count("data-glass")
    called = title(index)
    summary = _one(chance, SUMMARIES).format(title=called, pieces=pieces)
    added = DAY - timedelta(days=int(chance.integers(1, 1400)))
    lines = [f"title: {called}", f"series: {kind.series}", f"added: {added}", f'summary: "{summary}"']
    lines += [*_sizes(chance, design), f"finishes: [{_one(chance, ('black', 'bright', 'black', 'black, bright'))}]"]
    lines += [*_glass(chance, kind, design), "grain: along", *_hang(chance, name), *_photos(called, photos)]
    words = "\n\n".join((_one(chance, OPENINGS), " ".join(_two(chance, MIDDLES)), _one(chance, ENDINGS)))
    return "\n".join(("---", *lines, "---", words, "", "```svg", drawing, "```", ""))


def _kind(index: int) -> Kind:
    return list(KINDS.values())[index % len(KINDS)]


def _one(chance: np.random.Generator, words: tuple[str, ...]) -> str:
    return words[int(chance.integers(len(words)))]


def _two(chance: np.random.Generator, words: tuple[str, ...]) -> list[str]:
    return [words[int(at)] for at in chance.choice(len(words), 2, replace=False)]


def _sizes(chance: np.random.Generator, design: Design) -> list[str]:
    """Give one size as drawn, or two around it."""
    if chance.random() < 0.8:
        return []
    return ["sizes:", *(f"  {name}: {math.floor(design.glass_width * times)} mm" for name, times in SIZES.items())]


def _glass(chance: np.random.Generator, kind: Kind, design: Design) -> list[str]:
    chosen = chance.choice(len(kind.palettes), 1 + int(chance.random() < 0.3), replace=False)
    lines = ["glass:"]
    for at in sorted(int(one) for one in chosen):
        called, glasses = list(kind.palettes.items())[at]
        pieces = ", ".join(f"{word}: glass-{glass}" for word, glass in zip(design.words, glasses, strict=False))
        lines += [f"  {called.split()[-1].lower()}:", f"    title: {called}", f"    pieces: {{{pieces}}}"]
    return lines


def _hang(chance: np.random.Generator, name: str) -> list[str]:
    if name == "panel":
        return ["hang:", "  by: chain", f"  length: {int(chance.integers(38, 52)) * 10} mm"]
    return ["hang:", "  by: cord", "  length: 300 mm"] if chance.random() < 0.3 else []


def _photos(called: str, photos: int) -> list[str]:
    rows = [f'  - {{file: photo-{count + 1}.jpg, alt: "{called} at a window"}}' for count in range(photos)]
    return ["photos:", *rows] if rows else []


@click.command()
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
@click.argument("products", type=click.IntRange(1))
@click.argument("photos", type=click.IntRange(0), default=0)
def main(folder: Path, products: int, photos: int) -> None:
    """Lay out a studio of PRODUCTS in FOLDER, with PHOTOS spread over them."""
    lay_out(folder, products, photos)


if __name__ == "__main__":
    main()
