"""The commands that publish, and what goes with it: the market, the batch, tags, quotes, orders."""

from __future__ import annotations

import time
from datetime import datetime
from pathlib import Path

import click

from catalog_builder.cli.command_group import main
from catalog_builder.cli.options import CORES, DAY, FOLDER, WORKERS, day_of, project_of
from catalog_builder.commands.terminal import print_findings, print_summary, progress_bar, reporting_mistakes


@main.command()
@FOLDER
@DAY
@WORKERS
def publish(folder: Path, day: datetime | None, workers: int) -> None:
    """Make the catalogue, the stall's sheets and the bench's papers."""
    from catalog_builder.cache.build_state import unchanged_build

    started, project = time.monotonic(), project_of(folder)
    with reporting_mistakes(project, publishes=True):
        published = unchanged_build(project, day_of(day))
        if published is None:
            with progress_bar() as progress:
                from catalog_builder.build import build

                published = build(project, day_of(day), workers, progress)
    print_findings(published.findings)
    print_summary(published, time.monotonic() - started)
    output = project / "site_output"
    click.echo(f"Open {output / 'catalogue' / 'index.html'}")
    click.echo(f"     {output / 'stall' / 'price_sheet.pdf'}")
    click.echo(f"     {output / 'bench' / 'index.html'}  (private)")


@main.command()
@FOLDER
@DAY
def check(folder: Path, day: datetime | None) -> None:
    """Go through every record, pattern, price, photo and page without publishing."""
    from catalog_builder.cache.build_state import unchanged_build

    project = project_of(folder)
    with reporting_mistakes(project, publishes=True):
        summary = unchanged_build(project, day_of(day))
        if summary is None:
            with progress_bar() as progress:
                from catalog_builder.commands.check import check_project

                summary = check_project(project, day_of(day), CORES, progress)
    print_findings(summary.findings)
    click.echo(f"In order. Products: {summary.products}, variants: {summary.variants}.")


@main.command()
@click.argument("name", required=False)
@click.option("--from-ready", is_flag=True, help="First write its packing list from what lies ready to send.")
@FOLDER
@DAY
@WORKERS
def market(name: str | None, from_ready: bool, folder: Path, day: datetime | None, workers: int) -> None:
    """Publish, and say what to print and pack for the next market.

    NAME is the code or the name of another market to come.
    """
    with reporting_mistakes(project_of(folder), publishes=True), progress_bar() as progress:
        from catalog_builder.commands.market import NoMarketError, prepare, propose

        try:
            lines = propose(project_of(folder), day_of(day), name) if from_ready else ()
            lines += prepare(project_of(folder), day_of(day), name, workers, progress)
        except NoMarketError as fault:
            raise click.UsageError(str(fault)) from None
    for line in lines:
        click.echo(line)


@main.command()
@FOLDER
@DAY
@click.option("--sheet", metavar="NAME", help="Which sheet of labels; see content/labels/.  [default: by the paper]")
@click.option(
    "--since",
    type=click.DateTime(["%Y-%m-%d"]),
    help="Only tags whose price is not what the price book had in force on that day.",
)
@click.option(
    "--list",
    "packing",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="Only what a table lists, as often as it says: product, size, finish, glass, count.",
)
@click.option(
    "--first-cell", type=click.IntRange(min=1), default=1, show_default=True, help="Where a used sheet begins."
)
@click.option("--crop-marks", is_flag=True, help="Marks to cut along, for plain paper.")
@click.option("--copies", type=click.IntRange(1, 100), default=1, show_default=True, help="How many of each.")
def tags(  # noqa: PLR0913 - one for each option
    *,
    folder: Path,
    day: datetime | None,
    sheet: str | None,
    since: datetime | None,
    packing: Path | None,
    first_cell: int,
    crop_marks: bool,
    copies: int,
) -> None:
    """Make price tags for the stall, on sheets of labels.

    Each has a code that leads to the product's page.
    """
    with reporting_mistakes(project_of(folder)), progress_bar() as progress:
        from catalog_builder.commands.tags import TagRequest, print_tags, tag_lines

        asked = TagRequest(sheet, since.date() if since else None, packing, first_cell, crop_marks, copies)
        run = print_tags(project_of(folder), day_of(day), asked, progress)
    print_findings(run.findings)
    for line in tag_lines(run):
        click.echo(line)


@main.command()
@click.argument("name")
@FOLDER
@DAY
@click.option("--lay", is_flag=True, help="Lay the glass on sheets first, and keep the layout beside the plan.")
@click.option(
    "--seconds",
    type=click.IntRange(1, 600),
    default=8,
    show_default=True,
    help="How long each sheet may take to be laid.",
)
@WORKERS
def batch(name: str, folder: Path, day: datetime | None, lay: bool, seconds: int, workers: int) -> None:
    """Publish, and say what to cut, buy and time for a planned batch.

    NAME is the name of a plan's file in content/batches/, without .toml.
    """
    project = project_of(folder)
    with reporting_mistakes(project, publishes=True), progress_bar() as progress:
        from catalog_builder.commands.batch import lay_plan, publish_plan

        kept = lay_plan(project, day_of(day), name, seconds, progress) if lay else None
        lines = publish_plan(project, day_of(day), name, workers, progress)
    if kept is not None:
        click.echo(f"Kept {kept}")
    for line in lines:
        click.echo(line)
    click.echo(f"Open {project / 'site_output' / 'bench' / 'batches' / name / 'index.html'}  (private)")


@main.command()
@click.argument("name")
@FOLDER
@DAY
def quote(name: str, folder: Path, day: datetime | None) -> None:
    """Price a commission: a PDF to hand over, and its private cost cards.

    NAME is the name of a quote's file in content/quotes/, without .toml.
    """
    with reporting_mistakes(project_of(folder)), progress_bar() as progress:
        from catalog_builder.commands.quote import write_quote

        run = write_quote(project_of(folder), day_of(day), name, progress)
    print_findings(run.findings)
    for line in run.lines:
        click.echo(line)


@main.command()
@click.argument("name")
@FOLDER
@DAY
def order(name: str, folder: Path, day: datetime | None) -> None:
    """Check a shop's order, and make its confirmation and packing list.

    NAME is the name of the order's two files in content/orders/, without .csv and .toml.
    """
    with reporting_mistakes(project_of(folder)), progress_bar() as progress:
        from catalog_builder.commands.order import confirm_order

        run = confirm_order(project_of(folder), day_of(day), name, progress)
    print_findings(run.findings)
    for line in run.lines:
        click.echo(line)
