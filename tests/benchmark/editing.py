"""What an edit takes until ``look`` shows it on the page that is open, against a build from nothing of the demo."""

from __future__ import annotations

import os
import re
import shutil
import statistics
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from PIL import Image

from tests.benchmark import studio
from tests.benchmark.figure import Figure
from tests.benchmark.open_page import OpenPage
from tests.benchmark.process import ROOT, python

ROUNDS = 3
FROM_NOTHING = "demo built from nothing"
DEMO_PRODUCT = "oak-leaf"
# The most of a build from nothing of the demo that an edit should take; twice that in a large studio.
WANTED = {"word": 0.08, "photo": 0.08, "style": 0.08, "drawing": 0.12, "wage": 0.2, "price of a glass": 0.2}


@dataclass(frozen=True, slots=True)
class Edits:
    """Changes the files of a studio under ``root`` that a page of ``product`` shows; ``count`` makes each one new."""

    root: Path
    product: str

    def word(self, count: int) -> None:
        """Change a word of the product's summary."""
        self._replace(self._record, r'(summary: "?)(?:Edit \d+, )?', rf"\g<1>Edit {count}, ")

    def photo(self, count: int) -> None:
        """Put another photo in the place of the product's."""
        path = next(self._record.parent.glob("*.jpg"))
        with Image.open(path) as picture:
            picture.rotate(180).save(path, "JPEG", quality=90 - count)

    def style(self, count: int) -> None:
        """Change a rule of the theme's style sheet."""
        path = self.root / "themes" / "daylight" / "assets" / "product.css"
        path.write_text(f"{path.read_text(encoding='utf-8')}\nmain {{ --edit: {count} }}\n", encoding="utf-8")

    def drawing(self, count: int) -> None:
        """Bend a curve of the product's drawing."""
        self._replace(self._record, r'( d="M[^"]*?C-?\d+\.?\d*?)\d([ ,])', rf"\g<1>{count % 10}\g<2>")

    def wage(self, count: int) -> None:
        """Change the pay for an hour by so much that a price moves to its next price point."""
        path = self.root / "content" / "studio.toml"
        self._replace(path, r'(?m)^hourly_rate = ".*"', f'hourly_rate = "{20 + 8 * count}.00"')

    def price(self, count: int) -> None:
        """Buy a glass of the product at a new price, which moves the product's price too."""
        glass = re.findall(r"glass-[a-z]+", self._record.read_text(encoding="utf-8"))[0]
        table = self.root / "content" / "material_prices.csv"
        text = "".join(
            line
            for line in table.read_text(encoding="utf-8").splitlines(keepends=True)
            if "benchmark" not in line  # a material has one price a day
        )
        table.write_text(f"{text}{glass},{date.today()},{20 + 25 * count}.00,benchmark\n", encoding="utf-8")

    @property
    def _record(self) -> Path:
        return self.root / "content" / "products" / self.product / "product.md"

    def _replace(self, path: Path, pattern: str, new: str) -> None:
        text = path.read_text(encoding="utf-8")
        changed = re.sub(pattern, new, text, count=1)
        if changed == text:
            raise ValueError(f"nothing to change in {path}")
        path.write_text(changed, encoding="utf-8")


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
