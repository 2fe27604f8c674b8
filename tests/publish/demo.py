"""The demo studio, built on a fixed day in a folder of its own."""

from __future__ import annotations

import pickle
import re
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path

from filelock import FileLock

from catalog_builder.build import calculate
from catalog_builder.cache.atomic_file import CACHE_FOLDER
from catalog_builder.cache.build_state import BuildSummary
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.audiences import publish_audiences
from catalog_builder.publish.studio_calculation import BuildCache, StudioCalculation, quiet
from catalog_builder.publish.studio_pictures import make_panels, make_pictures
from tests.publish.photos import quarters, saved

ROOT = Path(__file__).resolve().parents[2]
DAY = date(2026, 11, 25)
AUDIENCES = ("catalogue", "stall", "bench")
# The product that is given photos, so that galleries and sizes of photos are there to look at.
PICTURED = "quay-lantern"
# Where the demo is built for all processes, once the tests have said so.
_SHARED = list[Path]()


@dataclass(frozen=True, slots=True)
class Demo:
    """A built project: its folder, all that was reckoned, and what the build says it made."""

    project: Path
    calculated: StudioCalculation
    published: BuildSummary

    @property
    def output(self) -> Path:
        """The folder that holds the three audiences' folders."""
        return self.project / "site_output"

    @property
    def calculations(self) -> tuple[VariantCalculation, ...]:
        """Every variant's reckoning."""
        return self.calculated.calculations

    def variants(self, slug: str) -> list[VariantCalculation]:
        """The reckonings of one product, in the order of its record."""
        return [one for one in self.calculations if one.product.slug == slug]


@cache
def demo_in(folder: Path) -> Demo:
    """Give the whole demo in a folder: built once, also for all processes that share the tests out."""
    summary = folder.with_suffix(".published")
    with FileLock(folder.with_suffix(".lock")):
        if summary.exists():
            # Another process has built it; what it kept makes the calculation short.
            published = pickle.loads(summary.read_bytes())  # noqa: S301 - written a moment ago, by these tests
            return Demo(folder, calculate(folder, DAY, quiet), published)
        project = pictured(lay_out(folder))
        BuildCache.of(project).store.make_room()
        demo = build_in(project)
        summary.write_bytes(pickle.dumps(demo.published))
    return demo


def build_in(project: Path) -> Demo:
    """Build a project, keeping what was reckoned on the way."""
    calculated = calculate(project, DAY, quiet)
    return Demo(
        project,
        calculated,
        publish_audiences(calculated, make_pictures(calculated, 2, quiet), make_panels(calculated, 2, quiet), quiet),
    )


def lay_out(folder: Path, *products: str) -> Path:
    """Copy the demo's content and themes into a folder; only some products, where any are named.

    The demo's set stays out, so that each listing is a product; `test_sets.py` lays out one of its own.
    """
    shutil.copytree(ROOT / "content", folder / "content", ignore=shutil.ignore_patterns("sets"))
    shutil.copytree(ROOT / "themes", folder / "themes")
    if products:
        # The plan of the demo's next batch names others of its products.
        shutil.rmtree(folder / "content" / "batches")
        for path in (folder / "content" / "products").iterdir():
            if path.name not in products:
                shutil.rmtree(path)
        # So do the quotes, and the logs and lists name products that are no longer there.
        for name in ("markets", "quotes"):
            shutil.rmtree(folder / "content" / name)
        for name in ("bench_made", "bench_log", "spools", "sales", "ready", "reductions"):
            (folder / "content" / f"{name}.csv").unlink()
    return folder


def lay_out_known(folder: Path, *products: str) -> Path:
    """Copy the demo as ``lay_out`` does, for a test of what is published and not of what builds keep."""
    return take_kept(lay_out(folder, *products))


def take_kept(project: Path) -> Path:
    """Give a project what the demo's build kept, where it is built by now: then nothing of that is measured again.

    What is kept is found by a key of all that it was made from, so that a project takes what is right for it alone.
    """
    for demo in _SHARED:
        made = Path(CACHE_FOLDER, "made")
        if demo.with_suffix(".published").exists():
            shutil.copytree(demo / "site_output" / made, project / "site_output" / made)
    return project


def share_demo(folder: Path) -> None:
    """Say where all processes of these tests build the demo."""
    _SHARED[:] = [folder]


def pictured(project: Path) -> Path:
    """Give one product three photos: a wide one, a tall one and one that is smaller than a page shows it."""
    sizes = {"wide.jpg": (1800, 1200), "tall.jpg": (900, 1350), "little.jpg": (400, 300)}
    give_photos(project, PICTURED, {name: saved(quarters(size), "JPEG") for name, size in sizes.items()})
    return project


def give_photos(project: Path, slug: str, photos: Mapping[str, bytes], alt: str = "Four quarters of colour") -> None:
    """Put photos beside a product's record in place of those it has, and name them in its header."""
    record = project / "content" / "products" / slug / "product.md"
    for name, data in photos.items():
        (record.parent / name).write_bytes(data)
    lines = "".join(f"  - {{file: {name}, alt: {alt}}}\n" for name in photos)
    header, body = record.read_text(encoding="utf-8").removeprefix("---\n").split("\n---\n", 1)
    bare = re.sub(r"^photos:.*\n?(?:[ \t]+.*\n?)*", "", header, flags=re.MULTILINE).rstrip("\n")
    record.write_text(f"---\n{bare}\nphotos:\n{lines}---\n{body}", encoding="utf-8", newline="\n")


def reworded(path: Path, *changes: tuple[str, str]) -> None:
    """Replace texts in a file; each must be there."""
    text = path.read_text(encoding="utf-8")
    for old, new in changes:
        if old not in text:
            raise LookupError(f"{old!r} is not in {path}")
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8", newline="\n")


def outside_cache(project: Path) -> dict[str, bytes]:
    """Every file of a project by its path, but for what is kept for the next build."""
    return {name: data for name, data in bytes_of(project).items() if "/.kept/" not in name}


def bytes_of(folder: Path) -> dict[str, bytes]:
    """Give every file under a folder by its path in it."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()
    }


def outputs_of(project: Path) -> dict[str, bytes]:
    """Give every published file by its path in ``site_output``."""
    output = project / "site_output"
    return {f"{name}/{path}": data for name in AUDIENCES for path, data in bytes_of(output / name).items()}
