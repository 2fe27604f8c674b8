"""Options that several commands take, and what they mean."""

from __future__ import annotations

import os
from datetime import date, datetime
from pathlib import Path

import click

FOLDER = click.option(
    "--folder",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path(),
    show_default="here",
    help="The project's folder: content/ stands in it.",
)

DAY = click.option(
    "--day",
    type=click.DateTime(["%Y-%m-%d"]),
    default=None,
    help="Take prices as of this day, such as 2026-03-14.  [default: today]",
)

CORES = min(os.cpu_count() or 1, 64)
WORKERS = click.option(
    "--workers",
    type=click.IntRange(1, 64),
    default=CORES,
    show_default="one for each core",
    help="How many products and photos are worked on at a time.",
)

PAPER = click.option("--paper", metavar="SIZE", help="The sheet in a picture: a3, a4, a5, letter, legal, or 210x297.")
DPI = click.option("--dpi", metavar="NUMBER", help="Dots per inch of a scan.  [default: as the file says]")
WIDTH = click.option("--width", metavar="LENGTH", help="How wide what is drawn is, such as 140mm.")
HALF = click.option(
    "--half", metavar="SIDE", help="Only half is drawn, on this side of the fold: left, right, top, bottom."
)


def project_of(folder: Path) -> Path:
    """Give a project's folder; what a build that was ended had begun to put in place is put in place first."""
    from catalog_builder.cache.atomic_file import CACHE_FOLDER, RENAMING
    from catalog_builder.cache.build_state import JOURNAL

    project = folder.resolve()
    if (project / RENAMING).is_dir():
        from catalog_builder.commands.rename.content_copy import settle

        settle(project)
    if (project / "site_output" / CACHE_FOLDER / JOURNAL).is_file():
        from catalog_builder.publish.output.publication import finish_publication

        finish_publication(project / "site_output")
    return project


def day_of(given: datetime | None) -> date:
    """Give the day that a command is for: today where none is given."""
    return given.date() if given is not None else date.today()
