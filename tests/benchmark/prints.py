"""Photos made ready, against a bare Pillow pool that writes the same renditions as well as Pillow can.

Pillow's best: the decoder halves the picture where that leaves enough of it (``draft``), the largest size comes
first, each smaller one from the one before it, and threads or processes share the cores, whichever is faster here.

Each way runs in a process of its own: ``python -m tests.benchmark.prints WAY FOLDER`` prints its seconds, imports
aside.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

import click

from tests.benchmark.figure import Figure, in_turn, seconds

# The renditions of catalog_builder/pictures/photo.py, written down a second time, as are their settings below.
LONG_EDGES = (1600, 960, 480, 240)
ROUNDS = 5


def figures(photos: int) -> Iterator[Figure]:
    """Measure a studio of photos, each way in turn."""
    from tests.benchmark.process import python
    from tests.benchmark.studio import lay_out

    with TemporaryDirectory() as folder:
        lay_out(Path(folder), photos, photos)
        ways = [
            lambda way=way: float(python("-m", "tests.benchmark.prints", way, folder).told)
            for way in ("ready", "threads", "processes")
        ]
        ready, threads, processes = in_turn(ROUNDS, *ways)
    faster = "threads" if threads <= processes else "processes"
    floor = f"a bare Pillow pool of {faster}"
    yield Figure(f"{photos} photos made ready", ready, floor, min(threads, processes), "s", 1.10)


def ready(folder: Path) -> float:
    """Make a studio's photos ready as a build does, kept for the next one, and give the seconds."""
    from catalog_builder.cache.file_digests import FileDigests
    from catalog_builder.cache.store import Store
    from catalog_builder.publish.pictures.album import take_shots
    from catalog_builder.records.content import read_content
    from tests.benchmark.studio import DAY

    products = read_content(folder, DAY).products
    with TemporaryDirectory() as kept:
        store, inputs = Store(Path(kept) / "made"), FileDigests(Path(kept) / "inputs.json")
        return seconds(lambda: take_shots(products, os.cpu_count() or 1, inputs, store, lambda: None))


def bare(folder: Path, pool: type[Executor]) -> float:
    """Write every photo's renditions with a pool of a kind, and give the seconds."""
    paths = sorted((folder / "content").rglob("*.jpg"))

    def run(written: str) -> None:
        with pool(max_workers=os.cpu_count() or 1) as workers:  # type: ignore[call-arg]
            list(workers.map(partial(write, Path(written)), paths, range(len(paths))))

    with TemporaryDirectory() as written:
        return seconds(lambda: run(written))


def write(folder: Path, path: Path, index: int) -> None:
    """Write the renditions of one photo."""
    from PIL import Image

    with Image.open(path) as picture:
        sizes = [(round(picture.width * share), round(picture.height * share)) for share in _shares(picture.size)]
        picture.draft("RGB", sizes[0])
        made: Image.Image = picture
        for edge, size in zip(LONG_EDGES, sizes, strict=True):
            made = made.resize(size, Image.Resampling.LANCZOS, reducing_gap=3.0)
            made.save(folder / f"{index}-{edge}.jpg", quality=82, optimize=True)
            made.save(folder / f"{index}-{edge}.webp", quality=80, method=2)


def _shares(size: tuple[int, int]) -> list[float]:
    return [edge / max(size) for edge in LONG_EDGES]


def main() -> None:
    """Print the seconds of one way."""
    way, folder = sys.argv[1], Path(sys.argv[2])
    pools: dict[str, type[Executor]] = {"threads": ThreadPoolExecutor, "processes": ProcessPoolExecutor}
    click.echo(ready(folder) if way == "ready" else bare(folder, pools[way]))


if __name__ == "__main__":
    main()
