"""Speed and memory, as ratios to floors measured in the same run: ``python -m tests.benchmark [FILE.json]``.

Prints a table and, given a file's name, writes the figures there as JSON. No test depends on them.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import click
import pandas as pd

from tests.benchmark import building, editing, finding, measuring, page_speed, prints, starting
from tests.benchmark.figure import Figure

NAMES = ("help", "patterns", "photos", "growth", "unchanged", "word", "price", "edit", "find", "scores")
USUAL = 1_000


@click.command()
@click.argument("file", required=False, type=click.Path(dir_okay=False, path_type=Path))
@click.option("--only", default=",".join(NAMES), show_default=True, help="Which figures, parted by commas.")
@click.option(
    "--products",
    type=click.IntRange(1),
    help=f"Products of the usual studio.  [default: {USUAL:,}, and for edit the demo's]",
)
@click.option("--many", type=click.IntRange(1), default=10_000, show_default=True, help="Products of the large studio.")
@click.option("--photos", type=click.IntRange(1), default=24, show_default=True, help="Photos that are made ready.")
@click.option("--glass", default="glass-rosehip", show_default=True, help="The glass whose price changes.")
def main(file: Path | None, *, only: str, products: int | None, many: int, photos: int, glass: str) -> None:
    """Measure, print, and write the figures into FILE where one is named."""
    with TemporaryDirectory() as folder:
        builds, usual = building.Builds(Path(folder)), products or USUAL
        measures: dict[str, Callable[[], Iterator[Figure]]] = {
            "help": starting.figures,
            "patterns": measuring.figures,
            "photos": lambda: prints.figures(photos),
            "growth": lambda: building.growth(builds, usual, many),
            "unchanged": lambda: building.unchanged(builds, usual),
            "word": lambda: building.one_word(builds, usual),
            "price": lambda: building.one_price(builds, usual, glass),
            "edit": lambda: editing.figures(Path(folder), products),
            "find": lambda: finding.figures(Path(folder) / "finder", many),
            "scores": lambda: page_speed.figures(Path(folder) / "scored"),
        }
        asked = only.split(",")
        if wrong := [name for name in asked if name not in measures]:
            raise click.UsageError(f"there is no figure {wrong[0]!r}; there are: {', '.join(measures)}")
        figures: list[Figure] = []
        for name in asked:
            click.echo(f"{name} ...", err=True)
            figures += measures[name]()
    click.echo(shown(figures))
    if file is not None:
        file.write_text(json.dumps([row(figure) for figure in figures], indent=1) + "\n", encoding="utf-8")


def shown(figures: list[Figure]) -> str:
    """Give the figures as a table."""
    columns = ("figure", "measured", "floor", "measured", "ratio", "wanted")
    return pd.DataFrame([cells(figure) for figure in figures], columns=columns).to_string(index=False)


def cells(figure: Figure) -> tuple[str, ...]:
    """Give a figure's row of the table."""
    missed = figure.wanted is not None and figure.ratio > figure.wanted
    wanted = "" if figure.wanted is None else f"<= {figure.wanted:g}" + (" missed" if missed else "")
    measured, floor = (f"{value:,.2f} {figure.unit}" for value in (figure.value, figure.floor_value))
    return figure.name, measured, figure.floor, floor, f"{figure.ratio:.2f}", wanted


def row(figure: Figure) -> dict[str, str | float | None]:
    """Give a figure as JSON holds it: the ratio and what it is a ratio of, as times alone mean nothing elsewhere."""
    return {"name": figure.name, "ratio": round(figure.ratio, 3), "wanted": figure.wanted, "floor": figure.floor}


if __name__ == "__main__":
    main()
