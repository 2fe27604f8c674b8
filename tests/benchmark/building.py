"""Whole builds in fresh processes: from nothing at two sizes, with nothing changed, with one word or price changed."""

from __future__ import annotations

import os
import statistics
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from shutil import rmtree

import catalog_builder
from tests.benchmark.edits import Edits
from tests.benchmark.figure import Figure, in_turn
from tests.benchmark.process import ROOT, Run, python
from tests.benchmark.studio import DAY, lay_out, slug

MOST_MIB = 1536
UNCHANGED_ROUNDS, PRICE_ROUNDS, WORD_ROUNDS = 5, 3, 3
SOLDER = "solder-60-40"


class Builds:
    """Studios without photos under a folder, by how many products they have, and their builds from nothing."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.from_nothing: dict[int, list[Run]] = {}

    def root(self, products: int) -> Path:
        """Give the folder of a studio, laid out where it is not there yet."""
        root = self.folder / str(products)
        if not root.exists():
            lay_out(root, products)
        return root

    def build(self, products: int) -> Run:
        """Build a studio from nothing."""
        rmtree(self.root(products) / "site_output", ignore_errors=True)
        run = publish(self.root(products), watched=True)
        self.from_nothing.setdefault(products, []).append(run)
        return run

    def built(self, products: int) -> Path:
        """Give a studio's folder with the output of a build in it."""
        if not (self.root(products) / "site_output").exists():
            self.build(products)
        return self.root(products)

    def seconds(self, products: int) -> float:
        """Give what a build from nothing took, the median where there were several."""
        self.built(products)
        return statistics.median(run.seconds for run in self.from_nothing[products])


def publish(root: Path, *, watched: bool = False) -> Run:
    """Run ``catalog-builder publish`` in a process of its own, on all cores."""
    workers = str(os.cpu_count() or 1)
    command = ("-m", "catalog_builder", "publish", "--folder", str(root), "--day", str(DAY), "--workers", workers)
    return python(*command, watched=watched)


def growth(builds: Builds, few: int, many: int) -> Iterator[Figure]:
    """Measure how a build from nothing grows: the small studio once before the large one and once after it."""
    for products in (few, many, few):
        builds.build(products)
    each = {products: builds.seconds(products) / products * 1000 for products in (few, many)}
    peak = {products: max(run.peak_mib for run in builds.from_nothing[products]) for products in (few, many)}
    floor = f"the same at {few:,} products"
    name = f"built from nothing, {many:,} products"
    yield Figure(f"{name}: time a product", each[many], floor, each[few], "ms", 1.10)
    if not peak[few]:
        return  # a system without /proc tells nothing of memory
    yield Figure(f"{name}: peak memory", peak[many], floor, peak[few], "MiB", 3.0)
    yield Figure(f"{name}: peak memory", peak[many], "1.5 GiB", MOST_MIB, "MiB", 1.0)


def unchanged(builds: Builds, products: int) -> Iterator[Figure]:
    """Measure a build of what is built already."""
    root = builds.built(products)
    inputs = (root / "content", root / "themes", ROOT / "themes", Path(catalog_builder.__file__).parent)
    hashing = ("tests/benchmark/hashing.py", *map(str, inputs))
    if hasattr(os, "sync"):
        os.sync()  # what was built a moment ago is still being written
    again, floor = in_turn(UNCHANGED_ROUNDS, lambda: publish(root).seconds, lambda: python(*hashing).seconds)
    yield Figure(
        f"nothing changed, {products:,} products", again, "click imported, every input hashed", floor, "s", 1.5
    )


def one_word(builds: Builds, products: int) -> Iterator[Figure]:
    """Measure a build after a changed word of one product's summary, by wall time and by processor time."""
    root = builds.built(products)
    from_nothing, edits, runs = builds.from_nothing[products], Edits(root, slug(0)), list[Run]()
    for count in range(WORD_ROUNDS):
        edits.word(count)
        runs.append(publish(root))
    name = f"a word changed, {products:,} products"
    value = statistics.median(run.seconds for run in runs)
    yield Figure(name, value, "built from nothing", builds.seconds(products), "s", 0.1)
    value, floor = (statistics.median(run.processor_s for run in some) for some in (runs, from_nothing))
    yield Figure(f"{name}: processor time", value, "built from nothing", floor, "s", 0.1)


def one_price(builds: Builds, products: int, glass: str) -> Iterator[Figure]:
    """Measure a build after a new price of one glass, and of the solder that is in everything."""
    root = builds.built(products)
    taken: dict[str, list[Run]] = {glass: [], SOLDER: []}
    for count in range(PRICE_ROUNDS):
        for material, runs in taken.items():
            _dearer(root, material, count)
            runs.append(publish(root))
    share = f"in {share_of(root, glass):.0%} of {products:,} products"
    floor, work = builds.seconds(products), statistics.median(run.processor_s for run in builds.from_nothing[products])
    for material, used, wanted in ((glass, share, 0.05), (SOLDER, "in every product", 0.08)):
        name, runs = f"one price changed: {material}, {used}", taken[material]
        value = statistics.median(run.seconds for run in runs)
        yield Figure(name, value, "built from nothing", floor, "s", wanted)
        value = statistics.median(run.processor_s for run in runs)
        yield Figure(f"{name}: processor time", value, "built from nothing", work, "s", wanted)


def share_of(root: Path, glass: str) -> float:
    """Give the share of a studio's products that offer a glass in one of their choices."""
    texts = [path.read_text(encoding="utf-8") for path in root.glob("content/products/*/product.md")]
    return sum(f": {glass}" in text for text in texts) / len(texts)


def _dearer(root: Path, material: str, count: int) -> None:
    day = DAY - timedelta(days=PRICE_ROUNDS - count)
    with (root / "content" / "material_prices.csv").open("a", encoding="utf-8") as table:
        table.write(f"{material},{day},{20 + count * 1.5:.2f},benchmark\n")
