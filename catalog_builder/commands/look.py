"""The catalogue shown in a browser, made again whenever a file of the project changes."""

from __future__ import annotations

import threading
import traceback
import webbrowser
from collections.abc import Callable
from contextlib import suppress
from datetime import date
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from catalog_builder.build import build, quiet
from catalog_builder.mistake import MistakeError, summary

_STILL = "The last good catalogue is still shown."
# The page asks for this after every change, by the script that is added to what the window serves.
_ASK = "/.changes"
_SCRIPT = (
    b"<script>(function(){let seen=null;setInterval(async()=>{try{const answer=await fetch('/.changes');"
    b"const now=await answer.text();if(seen!==null&&now!==seen)location.reload();seen=now}catch(_){}},700)})()</script>"
)


class PortError(OSError):
    """The window cannot be opened at a port: another program holds it."""


def show(project: Path, port: int, *, open_browser: bool, say: Callable[[str], None]) -> None:
    """Build, serve the catalogue on this machine alone, and build again after each edit, until Ctrl-C.

    Raises:
        PortError: another program holds the port.
    """
    from watchfiles import watch

    count = _Count()
    folders = [folder for folder in (project / "content", project / "themes") if folder.is_dir()]
    with _opened(project, port, count) as server:
        changes = watch(*folders, raise_interrupt=False, rust_timeout=200, yield_on_timeout=True)
        # The first answer comes when the watch is set: no edit that is made during the first build is missed.
        next(changes, None)
        _rebuild(project, say)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        address = f"http://127.0.0.1:{server.server_address[1]}/"
        say(f"Showing the catalogue at {address} - Ctrl-C ends it")
        if open_browser:
            webbrowser.open(address)
        with suppress(KeyboardInterrupt):  # it may come while the catalogue is made again
            for changed in changes:
                if changed:
                    _rebuild(project, say)
                    count.up()
        server.shutdown()


def _opened(project: Path, port: int, count: _Count) -> ThreadingHTTPServer:
    try:
        return ThreadingHTTPServer(("127.0.0.1", port), partial(_Handler, project, count))
    except OSError as error:
        raise PortError(port) from error


def _rebuild(project: Path, say: Callable[[str], None]) -> None:
    try:
        published = build(project, date.today(), 2, quiet)
    except MistakeError as fault:
        for mistake in fault.mistakes:
            say(mistake.worded())
        say(f"{summary(fault.mistakes)} {_STILL}")
    except Exception:
        # A template, style or label that is being edited can be half-written: the window outlives it.
        say(traceback.format_exc())
        say(f"The program failed on the files as they are now. {_STILL}")
    else:
        say(f"Made {published.pages} pages of {published.products} products.")


class _Count:
    """Counts the changes, for the pages that wait for one."""

    def __init__(self) -> None:
        self.value = 0

    def up(self) -> None:
        self.value += 1


class _Handler(SimpleHTTPRequestHandler):
    """Serves the catalogue's folder, and the count of changes."""

    def __init__(self, project: Path, count: _Count, *rest: object, **more: object) -> None:
        self.count = count
        super().__init__(*rest, directory=str(project / "site_output" / "catalogue"), **more)  # type: ignore[arg-type]

    def do_GET(self) -> None:
        if self.path == _ASK:
            self._send(str(self.count.value).encode(), "text/plain")
            return
        path = Path(self.translate_path(self.path))
        if path.is_dir() and self.path.endswith("/"):
            path /= "index.html"
        if path.suffix == ".html" and path.is_file():
            self._send(path.read_bytes().replace(b"</body>", _SCRIPT + b"</body>"), "text/html; charset=utf-8")
            return
        super().do_GET()

    def _send(self, data: bytes, kind: str) -> None:
        self.send_response(200)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(data)))
        self.send_header("Cache-Control", "no-store")
        self.end_headers()
        self.wfile.write(data)

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing of each request."""
