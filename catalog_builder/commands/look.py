"""The command ``look``: catalogue and bench shown in a browser, made again whenever a file of the project changes."""

from __future__ import annotations

import threading
import traceback
import webbrowser
from collections.abc import Callable, Mapping
from contextlib import suppress
from datetime import date
from pathlib import Path

from catalog_builder.build import calculate_and_publish
from catalog_builder.commands.preview.preview_server import PreviewServer
from catalog_builder.commands.ready_marks import ready_marks
from catalog_builder.mistake import MistakeError, summary
from catalog_builder.publish.audiences import catalogue_content
from catalog_builder.publish.catalogue.site import early_files
from catalog_builder.publish.pictures.gallery import Pictures
from catalog_builder.publish.studio_calculation import StudioCalculation, quiet

_STILL = "The last good catalogue is still shown."


def show(project: Path, port: int, *, open_browser: bool, say: Callable[[str], None]) -> None:
    """Build, serve catalogue and bench on this machine alone, and build again after each edit, until Ctrl-C.

    Raises:
        PortError: another program holds the port.
    """
    from watchfiles import watch

    folders = [folder for folder in (project / "content", project / "themes") if folder.is_dir()]
    with PreviewServer(project, port) as server:
        changes = watch(*folders, raise_interrupt=False, rust_timeout=200, yield_on_timeout=True)
        # The first answer comes when the watch is set: no edit that is made during the first build is missed.
        next(changes, None)
        _rebuild(project, server, say)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        address = f"http://127.0.0.1:{server.server_address[1]}/"
        say(f"Showing the catalogue at {address} - Ctrl-C ends it")
        say(f"Showing the bench, private, with the marking pages, at {server.bench_address}")
        if open_browser:
            webbrowser.open(address)
        with suppress(KeyboardInterrupt):  # it may come while the catalogue is made again
            for changed in changes:
                if changed:
                    _rebuild(project, server, say)
        server.shutdown()


def _rebuild(project: Path, server: PreviewServer, say: Callable[[str], None]) -> None:
    def show_early(calculated: StudioCalculation, pictures: Mapping[str, Pictures]) -> None:
        server.show_early(early_files(catalogue_content(calculated, pictures), server.open_page))

    try:
        calculated, summary_of_build = calculate_and_publish(project, date.today(), 2, quiet, show_early)
    except MistakeError as fault:
        for mistake in fault.mistakes:
            say(mistake.worded())
        for line in ready_marks(project, fault.mistakes):
            say(line)
        say(f"{summary(fault.mistakes)} {_STILL}")
    except Exception:
        # A template, style or label that is being edited can be half-written: the server outlives it.
        say(traceback.format_exc())
        say(f"The program failed on the files as they are now. {_STILL}")
    else:
        server.desk.calculated = calculated
        say(f"Made {summary_of_build.pages} pages of {summary_of_build.products} products.")
    finally:
        server.show_published()
