"""The commands: parse, call, print. No arithmetic."""

from __future__ import annotations

import os
import time
from datetime import date, datetime
from pathlib import Path

import click

from catalog_builder import __version__
from catalog_builder.cache.atomic_file import CACHE_FOLDER, RENAMING
from catalog_builder.cache.build_state import JOURNAL, unchanged_build
from catalog_builder.commands.terminal import print_findings, print_summary, progress_bar, reporting_mistakes

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


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="catalog-builder")
def main() -> None:
    """Catalogue and price list of a stained-glass studio, from its own records."""


@main.command()
@FOLDER
@DAY
@WORKERS
def publish(folder: Path, day: datetime | None, workers: int) -> None:
    """Make the catalogue, the stall's sheets and the bench's papers."""
    started, project = time.monotonic(), _project(folder)
    with reporting_mistakes(project, publishes=True):
        published = unchanged_build(project, _day(day))
        if published is None:
            with progress_bar() as progress:
                from catalog_builder.build import build

                published = build(project, _day(day), workers, progress)
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
    project = _project(folder)
    with reporting_mistakes(project, publishes=True):
        summary = unchanged_build(project, _day(day))
        if summary is None:
            with progress_bar() as progress:
                from catalog_builder.commands.check import check_project

                summary = check_project(project, _day(day), CORES, progress)
    print_findings(summary.findings)
    click.echo(f"In order. Products: {summary.products}, variants: {summary.variants}.")


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
    with reporting_mistakes(_project(folder)):
        if asked is None:
            from catalog_builder.commands.why import explain

            text = explain(_project(folder), _day(day), product)
        else:
            from catalog_builder.commands.asked_price import answer

            text = answer(_project(folder), _day(day), product, asked, channel)
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
    with reporting_mistakes(_project(folder)), progress_bar() as progress:
        from catalog_builder.commands.reprice import read_report, record_prices, recorded_words, write_supposed
        from catalog_builder.records.price_keeping import read_material_prices

        known = read_material_prices(_project(folder)) if write else None
        report = read_report(_project(folder), _day(day), supposed, progress)
        if save is not None:
            report.save(save)
        rows = write_supposed(_project(folder), known, report) if known is not None else ()
        written = record_prices(_project(folder), report.calculated, reason) if record else None
    for line in (*report.lines(), *rows):
        click.echo(line)
    if written is not None:
        click.echo(recorded_words(report.calculated, written))


@main.command()
@click.argument("steps", nargs=-1)
@FOLDER
@DAY
@click.option("--use", is_flag=True, help="Write these rates into content/studio.toml; prices follow.")
def rates(steps: tuple[str, ...], folder: Path, day: datetime | None, use: bool) -> None:
    """Show what timed batches and weighed spools say of your rates.

    STEPS are names such as `cut`, `black.patina`, or `spools` for the solder; without them all are shown, or used.
    """
    with reporting_mistakes(_project(folder)), progress_bar() as progress:
        from catalog_builder.commands.rates import UnknownStepError, read_report, use_rates

        try:
            report = read_report(_project(folder), _day(day), steps, progress)
        except UnknownStepError as fault:
            raise click.UsageError(str(fault)) from None
        effect = use_rates(_project(folder), report) if use else ()
    for line in (*report.lines(), *effect):
        click.echo(line)


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
    with reporting_mistakes(_project(folder), publishes=True), progress_bar() as progress:
        from catalog_builder.commands.market import NoMarketError, prepare, propose

        try:
            lines = propose(_project(folder), _day(day), name) if from_ready else ()
            lines += prepare(_project(folder), _day(day), name, workers, progress)
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
    with reporting_mistakes(_project(folder)), progress_bar() as progress:
        from catalog_builder.commands.tags import TagRequest, print_tags, tag_lines

        asked = TagRequest(sheet, since.date() if since else None, packing, first_cell, crop_marks, copies)
        run = print_tags(_project(folder), _day(day), asked, progress)
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
    project = _project(folder)
    with reporting_mistakes(project, publishes=True), progress_bar() as progress:
        from catalog_builder.commands.batch import lay_plan, publish_plan

        kept = lay_plan(project, _day(day), name, seconds, progress) if lay else None
        lines = publish_plan(project, _day(day), name, workers, progress)
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
    with reporting_mistakes(_project(folder)), progress_bar() as progress:
        from catalog_builder.commands.quote import write_quote

        run = write_quote(_project(folder), _day(day), name, progress)
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
    with reporting_mistakes(_project(folder)), progress_bar() as progress:
        from catalog_builder.commands.order import confirm_order

        run = confirm_order(_project(folder), _day(day), name, progress)
    print_findings(run.findings)
    for line in run.lines:
        click.echo(line)


@main.command()
@click.argument("folder", type=click.Path(path_type=Path))
def begin(folder: Path) -> None:
    """Lay out a new folder with a worked example to change."""
    from catalog_builder.commands.begin import lay_out

    with reporting_mistakes(folder):
        written = lay_out(folder)
    for path in written:
        click.echo(f"  {path}")
    click.echo(f"Laid out {len(written)} files. Next: catalog-builder publish --folder {folder}")
    click.echo(f"Your first product, from an SVG or a photo: catalog-builder add NAME DRAWING --folder {folder}")


@main.command()
@click.argument("name")
@click.argument("drawing", type=click.Path(path_type=Path))
@FOLDER
@DAY
@PAPER
@DPI
@WIDTH
@HALF
def add(  # noqa: PLR0913 - one for each option
    *,
    name: str,
    drawing: Path,
    folder: Path,
    day: datetime | None,
    paper: str | None,
    dpi: str | None,
    width: str | None,
    half: str | None,
) -> None:
    """Lay out a new product from a drawing.

    NAME is the name of its folder, such as sea-holly. DRAWING is an SVG file, or a photo or scan, which is traced.
    """
    project = _project(folder)
    with reporting_mistakes(project):
        from catalog_builder.commands.add import add_product
        from catalog_builder.commands.add.report import report
        from catalog_builder.tracing.trace_options import read_trace_options

        options = read_trace_options(paper=paper, dpi=dpi, width=width, half=half)
        added = add_product(project, _day(day), name, drawing, options)
    for line in report(added, "" if folder == Path() else f" --folder {folder}"):
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
    with reporting_mistakes(_project(folder)), progress_bar() as progress:
        from catalog_builder.commands.rename import rename

        lines = rename(_project(folder), _day(day), kind, names, workers, progress)  # type: ignore[arg-type]
    for line in lines:
        click.echo(line)


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("-o", "output", type=click.Path(path_type=Path), help="The SVG to write.  [default: beside FILE]")
@PAPER
@DPI
@WIDTH
@HALF
def trace(
    *, file: Path, output: Path | None, paper: str | None, dpi: str | None, width: str | None, half: str | None
) -> None:
    """Make an SVG of line work from a photo or scan of a drawing on paper.

    A picture to check it by is written beside it. Nothing that is there is replaced.
    """
    with reporting_mistakes(Path.cwd()):
        from catalog_builder.commands.trace import trace_file
        from catalog_builder.tracing.trace_options import read_trace_options

        options = read_trace_options(paper=paper, dpi=dpi, width=width, half=half)
        lines = trace_file(file, output, options)
    for line in lines:
        click.echo(line)


@main.command()
@FOLDER
@click.option(
    "--port",
    type=click.IntRange(1024, 65535),
    default=8321,
    show_default=True,
    help="Where on this computer it is shown.",
)
@click.option("--no-browser", is_flag=True, help="Do not open the browser.")
def look(folder: Path, port: int, no_browser: bool) -> None:
    """Show catalogue and bench in a browser, and follow edits until Ctrl-C."""
    from catalog_builder.commands.look import show
    from catalog_builder.commands.preview_server import PortError

    if not (_project(folder) / "content").is_dir():
        raise click.UsageError(f"There is no folder content/ in {_project(folder)}: name the project with --folder.")
    try:
        show(_project(folder), port, open_browser=not no_browser, say=click.echo)
    except PortError:
        raise click.UsageError(f"Port {port} is taken by another program: choose one with --port.") from None


@main.command()
@click.argument("topic", nargs=-1)
def guide(topic: tuple[str, ...]) -> None:
    """Explain one topic, with a worked example.

    Without TOPIC, list the topics.
    """
    from catalog_builder.commands.guide.topics import UnknownTopicError, topic_list, topic_text

    try:
        click.echo(topic_text("-".join(topic).lower()) if topic else topic_list(), nl=False)
    except UnknownTopicError as fault:
        raise click.UsageError(str(fault)) from None


def _project(folder: Path) -> Path:
    """Give a project's folder; what a build that was ended had begun to put in place is put in place first."""
    project = folder.resolve()
    if (project / RENAMING).is_dir():
        from catalog_builder.commands.rename.content_copy import settle

        settle(project)
    if (project / "site_output" / CACHE_FOLDER / JOURNAL).is_file():
        from catalog_builder.publish.output.publication import finish_publication

        finish_publication(project / "site_output")
    return project


def _day(given: datetime | None) -> date:
    return given.date() if given is not None else date.today()
