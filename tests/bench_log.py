"""An invented log for tests: batches of panes of several sizes, with minutes made by known rates."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cache
from pathlib import Path

from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.records.content import Content, read_content
from tests import studio

SIZES = "sizes: {small: 70 mm, medium: 100 mm, large: 190 mm}"
# Batches by name: how many of each size.
BATCHES: Mapping[str, Mapping[str, int]] = {
    "b1": {"small": 6},
    "b2": {"large": 2},
    "b3": {"small": 12, "large": 1},
    "b4": {"medium": 5},
    "b5": {"large": 7},
    "b6": {"small": 2, "medium": 9},
    "b7": {"medium": 14},
    "b8": {"large": 12, "small": 1},
}


def laid(
    root: Path, tables: Mapping[str, str] | None = None, batches: Mapping[str, Mapping[str, int]] = BATCHES
) -> Path:
    """A project with a pane of three sizes and ``bench_made.csv``."""
    project = studio.project(root, {"pane": studio.record(keys=SIZES)}, tables)
    rows = [f"{name},pane,{size},{count}" for name, made in batches.items() for size, count in made.items()]
    (project / "content" / "bench_made.csv").write_text(
        "\n".join(["batch,product,size,count", *rows, ""]), encoding="utf-8"
    )
    return project


def timed(project: Path, rows: Sequence[str]) -> Content:
    """The project's content with a log of rows of batch, step, minutes and set-ups."""
    text = "\n".join(["date,batch,step,minutes,set_ups", *(f"2031-03-01,{row}" for row in rows), ""])
    (project / "content" / "bench_log.csv").write_text(text, encoding="utf-8")
    return read_content(project, studio.DAY)


def measured(project: Path, batch: str, of: Callable[[VariantCalculation], float]) -> float:
    """Add up a measure of each variant over a batch."""
    return sum(count * of(_by_size(project)[size]) for size, count in BATCHES[batch].items())


@cache
def _by_size(project: Path) -> dict[str, VariantCalculation]:
    """The project's variants, reckoned once: a log does not change them."""
    return {one.size: one for one in studio.calculations(read_content(project, studio.DAY))}
