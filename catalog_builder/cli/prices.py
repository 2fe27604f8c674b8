"""The commands about prices, rates and names."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import click

from catalog_builder.cli.command_group import main
from catalog_builder.cli.options import DAY, FOLDER, WORKERS, day_of, project_of
from catalog_builder.commands.terminal import progress_bar, reporting_mistakes


@main.command()
@click.argument("product")
@FOLDER
@DAY
@click.option("--at", "asked", metavar="PRICE", help="Say what this price would leave, and what would make it pay.")
@click.option("--channel", metavar="NAME", help="With --at: where it is asked.  [default: the catalogue's channel]")
def why(product: str, folder: Path, day: datetime | None, asked: str | None, channel: str | None) -> None:
    """Explain a price line by line.

    PRODUCT is the name of a product's folder, or of one variant as the catalogue's code gives it.
    """
    if channel is not None and asked is None:
        raise click.UsageError("--channel says where the price of --at is asked: add --at.")
    with reporting_mistakes(project_of(folder)):
        if asked is None:
            from catalog_builder.commands.why import explain

            text = explain(project_of(folder), day_of(day), product)
        else:
            from catalog_builder.commands.asked_price import answer

            text = answer(project_of(folder), day_of(day), product, asked, channel)
    click.echo(text)


@main.command()
@FOLDER
@DAY
@click.option("--suppose", "supposed", multiple=True, metavar="NAME=CHANGE", help="What if: glass=+15%, rate=22 ...")
@click.option(
    "--write", is_flag=True, help="Write supposed prices of materials into material_prices.csv, as of the day."
)
@click.option("--record", is_flag=True, help="Write the prices of the day into the price book.")
@click.option("--why", "reason", default=None, help="A few words to stand beside them in the book.")
@click.option("--save", type=click.Path(file_okay=False, path_type=Path), help="Put the report there as HTML and CSV.")
def reprice(  # noqa: PLR0913 - one for each option
    *,
    folder: Path,
    day: datetime | None,
    supposed: tuple[str, ...],
    write: bool,
    record: bool,
    reason: str | None,
    save: Path | None,
) -> None:
    """Show which prices today's costs would move, by how much and why."""
    if record and supposed:
        raise click.UsageError("--record writes what is, --suppose asks what would be: use one of them.")
    if write and not supposed:
        raise click.UsageError("--write writes what --suppose says of materials: add --suppose.")
    if reason is not None and not record:
        raise click.UsageError("--why stands beside what --record writes: add --record.")
    with reporting_mistakes(project_of(folder)), progress_bar() as progress:
        from catalog_builder.commands.reprice import read_report, record_prices, recorded_words, write_supposed
        from catalog_builder.records.keeping.price_keeping import read_material_prices

        known = read_material_prices(project_of(folder)) if write else None
        report = read_report(project_of(folder), day_of(day), supposed, progress)
        if save is not None:
            report.save(save)
        rows = write_supposed(project_of(folder), known, report) if known is not None else ()
        written = record_prices(project_of(folder), report.calculated, reason) if record else None
    for line in (*report.lines(), *rows):
        click.echo(line)
    if written is not None:
        click.echo(recorded_words(report.calculated.phrasing, written))


@main.command()
@click.argument("steps", nargs=-1)
@FOLDER
@DAY
@click.option("--use", is_flag=True, help="Write these rates into content/studio.toml; prices follow.")
def rates(steps: tuple[str, ...], folder: Path, day: datetime | None, use: bool) -> None:
    """Show what timed batches and weighed spools say of your rates.

    STEPS are names such as `cut`, `black.patina`, or `spools` for the solder; without them all are shown, or used.
    """
    with reporting_mistakes(project_of(folder)), progress_bar() as progress:
        from catalog_builder.commands.rates import UnknownStepError, read_report, use_rates

        try:
            report = read_report(project_of(folder), day_of(day), steps, progress)
        except UnknownStepError as fault:
            raise click.UsageError(str(fault)) from None
        effect = use_rates(project_of(folder), report) if use else ()
    for line in (*report.lines(), *effect):
        click.echo(line)


@main.command(name="rename")
@click.argument("kind", type=click.Choice(["product", "size", "finish", "glass", "channel", "material"]))
@click.argument("names", nargs=-1, required=True)
@FOLDER
@DAY
@WORKERS
def rename_everywhere(kind: str, names: tuple[str, ...], folder: Path, day: datetime | None, workers: int) -> None:
    """Change a name in every file that holds it.

    NAMES are the old one and the new one; of a size or a choice of glass, the product's name stands before them. Prices
    go on, and a product's old page leads on to its new one.
    """
    of_product = kind in ("size", "glass")
    if len(names) != 2 + of_product:
        raise click.UsageError(f"Write: catalog-builder rename {kind} {'PRODUCT ' if of_product else ''}OLD NEW")
    with reporting_mistakes(project_of(folder)), progress_bar() as progress:
        from catalog_builder.commands.rename import rename

        lines = rename(project_of(folder), day_of(day), kind, names, workers, progress)  # type: ignore[arg-type]
    for line in lines:
        click.echo(line)
