"""What the commands print: mistakes with how to end, findings, how far the work is, and what was published."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from re import fullmatch
from typing import TYPE_CHECKING

import click

from catalog_builder.commands.disk_faults import reason_of
from catalog_builder.commands.interrupts import noting_interrupts

if TYPE_CHECKING:
    from click._termui_impl import ProgressBar

    from catalog_builder.cache.build_state import BuildSummary
    from catalog_builder.mistake import OutputError, WordedFinding
    from catalog_builder.publish.studio_calculation import Progress

_NOTHING = "Nothing was published. What was published before stands as it was."
_PUBLISHED = "Stopped. By then all was published: what stands is whole and new."


def _folder(project: Path) -> int | None:
    """Give the number of the folder that is published last: every build puts a new one in its place."""
    try:
        return (project / "site_output" / "bench").stat().st_ino
    except OSError:
        return None


@contextmanager
def reporting_mistakes(project: Path, *, publishes: bool = False) -> Iterator[None]:
    """Word every mistake on the error stream, draw those that have a place in a drawing, and end with 1."""
    from catalog_builder.mistake import MistakeError, OutputError, summary

    before = _folder(project)
    try:
        with noting_interrupts() as interrupts:
            yield
    except MistakeError as fault:
        for mistake in fault.mistakes:
            click.echo(mistake.worded(), err=True)
        if any(mistake.spot is not None for mistake in fault.mistakes):
            from catalog_builder.commands.fault_pictures import picture_faults
            from catalog_builder.commands.ready_marks import ready_marks

            for line in ready_marks(project, fault.mistakes):
                click.echo(line, err=True)
            for picture in picture_faults(project, fault.mistakes):
                click.echo(f"The places are ringed in {picture}", err=True)
        for note in getattr(fault, "__notes__", ()):
            click.echo(note, err=True)
        click.echo(summary(fault.mistakes, f"Nothing was {'published' if publishes else 'changed'}."), err=True)
        sys.exit(1)
    except (KeyboardInterrupt, ImportError) as fault:
        if not interrupts and not isinstance(fault, KeyboardInterrupt):
            raise
        whole = _folder(project) != before
        click.echo(_PUBLISHED if whole else f"Stopped. {_NOTHING if publishes else 'Nothing was changed.'}", err=True)
        sys.exit(130)
    except OutputError as fault:
        click.echo(_unwritten(fault, project), err=True)
        click.echo(_NOTHING, err=True)
        sys.exit(1)


def _unwritten(fault: OutputError, project: Path) -> str:
    """Say where the output could not be written, why, and how to mend it. A disk that is full names no file."""
    output, name = project / "site_output", str(fault.filename or "")
    where = name if Path(name).is_absolute() else f"{output} ({name})" if name else str(output)
    why, mend = reason_of(fault)
    return f"{where}: the output cannot be written: {why}\n  mend:     {mend}"


@contextmanager
def progress_bar() -> Iterator[Progress]:
    """Show how far the work is, where there is a terminal to show it on."""
    if not sys.stderr.isatty():
        yield lambda _what, _done, _total: None
        return
    # Large libraries are loaded before there is anything to count.
    shown = click.progressbar(length=1, label="Starting", bar_template="%(label)s", file=sys.stderr)
    shown.render_progress()

    def progress(what: str, done: int, total: int) -> None:
        nonlocal shown
        if shown.label.rstrip() != what:
            _wipe(shown)
            shown = click.progressbar(length=total, label=f"{what:<24}", show_pos=True, file=sys.stderr)
        shown.update(done - shown.pos)

    try:
        yield progress
    finally:
        _wipe(shown)
        shown.render_finish()


def _wipe(bar: ProgressBar[int]) -> None:
    click.echo(f"\r{' ' * (bar.max_width or 0)}\r", nl=False, err=True)


def print_findings(findings: tuple[WordedFinding, ...]) -> None:
    """Print what the maker should look at, and a line to part it from what follows."""
    for finding in findings:
        click.echo(finding.worded())
    if findings:
        click.echo()


def print_summary(published: BuildSummary, seconds: float) -> None:
    """Print what a build made, counted, and how long it took."""
    rows = [
        ("products", published.products),
        ("variants", published.variants),
        ("prices", published.prices),
        ("pages", published.pages),
        ("photos", published.photos),
        ("warnings", len(published.findings)),
    ]
    cells = [*((name, str(count)) for name, count in rows), ("time", f"{seconds:.1f} s")]
    wide, far = max(len(name) for name, _ in cells), max(len(text) for _, text in cells)
    for name, text in cells:
        click.echo(f"{click.style(name.ljust(wide), bold=True)} {text.rjust(far)}")
    for name in published.carried_over:
        click.echo(_carried(name))


def _carried(name: str) -> str:
    from catalog_builder.publish.output.user_files import is_saved_beside

    # A name of a file need not be text.
    path = f"site_output/{name.encode('utf-8', 'replace').decode()}"
    if fullmatch(r"stall/tags(-[0-9]+)?\.pdf", name):
        return f"Left as `catalog-builder tags` made it, which makes tags again where a price has moved: {path}"
    why = "Kept aside, as its name is now taken" if is_saved_beside(name) else "Carried over, as no build made it"
    return f"{why}: {path}"
