"""The commands for new designs and for looking at the work."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import click

from catalog_builder.cli.command_group import main
from catalog_builder.cli.options import DAY, DPI, FOLDER, HALF, PAPER, WIDTH, day_of, project_of
from catalog_builder.commands.terminal import reporting_mistakes


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
    project = project_of(folder)
    with reporting_mistakes(project):
        from catalog_builder.commands.add import add_product
        from catalog_builder.commands.add.report import report
        from catalog_builder.tracing.trace_options import read_trace_options

        options = read_trace_options(paper=paper, dpi=dpi, width=width, half=half)
        added = add_product(project, day_of(day), name, drawing, options)
    for line in report(added, "" if folder == Path() else f" --folder {folder}"):
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
    from catalog_builder.commands.preview.preview_server import PortError

    if not (project_of(folder) / "content").is_dir():
        raise click.UsageError(f"There is no folder content/ in {project_of(folder)}: name the project with --folder.")
    try:
        show(project_of(folder), port, open_browser=not no_browser, say=click.echo)
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
