"""What an edit takes until ``look`` shows it on the page that is open, against a build from nothing of the demo."""

from __future__ import annotations

import os
import shutil
import statistics
from collections.abc import Callable, Iterator
from pathlib import Path

from tests.benchmark import studio
from tests.benchmark.edits import Edits
from tests.benchmark.figure import Figure
from tests.benchmark.open_page import OpenPage
from tests.benchmark.process import ROOT, python

ROUNDS = 3
FROM_NOTHING = "demo built from nothing"
DEMO_PRODUCT = "oak-leaf"
# The most of a build from nothing of the demo that an edit should take; twice that in a large studio.
WANTED = {"word": 0.08, "photo": 0.08, "style": 0.08, "drawing": 0.12, "wage": 0.2, "price of a glass": 0.2}


def figures(folder: Path, products: int | None) -> Iterator[Figure]:
    """Time edits of the demo, or of an invented studio of so many products; a build of the demo before and after."""
    demo = folder / "edited-demo"
    shutil.copytree(ROOT / "content", demo / "content")
    edited, product = demo, DEMO_PRODUCT
    if products is not None:
        edited, product = folder / f"edited-{products}", studio.slug(0)
        studio.lay_out(edited, products, photos=1)
    shutil.copytree(ROOT / "themes", edited / "themes")
    builds = [_from_nothing(demo)]
    taken = _edited(edited, product)
    builds.append(_from_nothing(demo))
    studio_name = "demo" if products is None else f"{products:,} products"
    seconds = statistics.median(run[0] for run in builds)
    # Two processes build from nothing side by side, and one shows an edit: the same share of one of two cores.
    work = statistics.median(run[1] for run in builds) / (os.cpu_count() or 1)
    for kind, runs in taken.items():
        wanted = WANTED[kind] * (1 if products is None else 2)
        value = statistics.median(run[0] for run in runs)
        yield Figure(f"{studio_name}: a {kind} changed, until look shows it", value, FROM_NOTHING, seconds, "s", wanted)
        value = statistics.median(run[1] for run in runs)
        name = f"{studio_name}: a {kind} changed, processor time until look shows it"
        yield Figure(name, value, f"{FROM_NOTHING}, on each core", work, "s", wanted)


def _from_nothing(demo: Path) -> tuple[float, float]:
    """Give the wall time and the processor time of a build from nothing."""
    shutil.rmtree(demo / "site_output", ignore_errors=True)
    run = python("-m", "catalog_builder", "publish", "--folder", str(demo), "--workers", str(os.cpu_count() or 1))
    return run.seconds, run.processor_s


def _edited(root: Path, product: str) -> dict[str, list[tuple[float, float]]]:
    edits = Edits(root, product)
    kinds: dict[str, Callable[[int], None]] = {
        "word": edits.word,
        "photo": edits.photo,
        "style": edits.style,
        "drawing": edits.drawing,
        "wage": edits.wage,
        "price of a glass": edits.price,
    }
    taken: dict[str, list[tuple[float, float]]] = {kind: [] for kind in kinds}
    with OpenPage(root, f"products/{product}.html") as page:
        page.after(lambda: edits.word(99))  # so that nothing is loaded for the first time
        for count in range(1, ROUNDS + 1):
            for kind, edit in kinds.items():
                taken[kind].append(page.after(lambda edit=edit, count=count: edit(count)))  # type: ignore[misc]
    return taken
