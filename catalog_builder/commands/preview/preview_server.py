"""A server on this computer alone that shows the catalogue's folder, and lets open pages know of each change.

The bench's folder is shown under an address that holds the token of the run, which only the terminal tells. Its marking
pages may send marks.
"""

from __future__ import annotations

import sys
from functools import partial
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from io import BytesIO
from pathlib import Path
from socket import socket
from typing import BinaryIO
from urllib.parse import quote, unquote

from catalog_builder.commands.preview.marking_desk import MarkingDesk
from catalog_builder.commands.preview.marking_posts import BENCH, MarkingPosts, RefusedError
from catalog_builder.publish.bench.marking.marking_page import FOLDER as MARKING_PAGES
from catalog_builder.publish.output.unwritten_folder import UnwrittenFolder

# Pages of catalogue and bench ask for these again and again, by the script that is added to every page that is served.
_CHANGES, _BENCH_CHANGES = "/.changes", "/.changes-of-bench"
_SCRIPT = (
    "<script>(function(){{let seen=null;setInterval(async()=>{{try{{const answer=await fetch('{address}');"
    "const now=await answer.text();if(seen!==null&&now!==seen)location.reload();seen=now}}catch(_){{}}}},250)}})()"
    "</script></body>"
)


class PortError(OSError):
    """The server cannot listen at a port: another program holds it."""


class PreviewServer(ThreadingHTTPServer):
    """Serves one project's catalogue and bench.

    ``changes`` and ``bench_changes`` count how often they were made anew, ``open_page`` is the path of the page of
    the catalogue that was asked for last, and ``early`` is what can be shown of it before the whole is made.
    """

    daemon_threads = True

    def __init__(self, project: Path, port: int) -> None:
        self.catalogue = project / "site_output" / "catalogue"
        self.bench = project / "site_output" / "bench"
        self.changes = self.bench_changes = 0
        self.open_page, self.early = "index.html", UnwrittenFolder()
        self.desk = MarkingDesk()
        self.posts = MarkingPosts(self.desk)
        try:
            super().__init__(("127.0.0.1", port), partial(_Handler, directory=str(self.catalogue)))
        except OSError as error:
            raise PortError(port) from error

    @property
    def hosts(self) -> tuple[str, str]:
        """The names that a browser may use for this server.

        A page from elsewhere whose name was made to lead to this computer (DNS rebinding) sends another one.
        """
        port = self.server_address[1]
        return f"127.0.0.1:{port}", f"localhost:{port}"

    @property
    def bench_address(self) -> str:
        """Where the bench is shown."""
        return f"http://{self.hosts[0]}{BENCH}{self.posts.token}/"

    def show_early(self, files: UnwrittenFolder) -> None:
        """Show the page that is open as it will be."""
        self.early = files
        self.changes += 1

    def show_published(self) -> None:
        """Show what was published, or, after a mistake, what still is."""
        if not self.early.makers:
            self.changes += 1
        self.early = UnwrittenFolder()
        self.bench_changes += 1

    def handle_error(self, request: socket | tuple[bytes, socket], client_address: object) -> None:
        """Ignore browsers that close a connection early, as they often do."""
        if not isinstance(sys.exception(), ConnectionError | TimeoutError):
            super().handle_error(request, client_address)


class _Handler(SimpleHTTPRequestHandler):
    """Serves files of the catalogue's folder that lie in it also once every link is followed."""

    server: PreviewServer
    timeout = 60

    def send_head(self) -> BytesIO | BinaryIO | None:
        if self.headers.get("Host") not in self.server.hosts:
            self.send_error(HTTPStatus.FORBIDDEN, "This server answers this computer alone")
            return None
        counts = {_CHANGES: self.server.changes, _BENCH_CHANGES: self.server.bench_changes}
        if self.path in counts:
            return self._answer(str(counts[self.path]).encode(), "text/plain")
        try:
            early = self._early()
            if early is not None:
                return early
            path = self._file()
            if path is None:
                self.send_error(HTTPStatus.NOT_FOUND, "There is no such page")
                return None
            if path.suffix == ".html":
                return self._answer(self._page(path), "text/html; charset=utf-8")
            if path.is_file():
                self.directory, self.path = str(path.parent), f"/{quote(path.name)}"
            return super().send_head()
        except (OSError, ValueError, RuntimeError):  # too long, with a NUL in it, or a loop of links
            self.send_error(HTTPStatus.NOT_FOUND, "There is no such page")
            return None

    def do_POST(self) -> None:
        """Answer a marking page."""
        # What was not read of a refused body must not be taken for a request.
        self.close_connection = True
        try:
            data = self.server.posts.answer(self.path, self.headers, self.rfile, self.server.hosts)
        except RefusedError as refused:
            self.send_error(refused.status, str(refused))
        else:
            self.wfile.write(self._answer(data, "application/json").read())

    def _page(self, path: Path) -> bytes:
        """Give a page with what it needs here: a marking page follows by itself, so that no mark is lost."""
        page = path.read_bytes()
        if not self.path.startswith(BENCH):
            return self._followed(page, path.relative_to(self.directory).as_posix())
        if path.parent.name == MARKING_PAGES:
            return self.server.posts.page(page)
        return page.replace(b"</body>", _SCRIPT.format(address=_BENCH_CHANGES).encode())

    def _followed(self, page: bytes, name: str) -> bytes:
        """Give a page of the catalogue with the script that shows the next change, and note that it is open."""
        self.server.open_page = name
        return page.replace(b"</body>", _SCRIPT.format(address=_CHANGES).encode())

    def _early(self) -> BytesIO | None:
        """Give a file of the catalogue that is made but not published yet; None where there is none."""
        name = unquote(self.path.partition("?")[0]).removeprefix("/") or "index.html"
        try:
            data = self.server.early.read(name)
        except Exception:  # the build itself says what is wrong with it
            return None
        if data is None:
            return None
        if name.endswith(".html"):
            return self._answer(self._followed(data, name), "text/html; charset=utf-8")
        return self._answer(data, self.guess_type(name))

    def _file(self) -> Path | None:
        """Find the file that an address names; a folder's is its ``index.html``. None outside catalogue and bench."""
        in_bench = self.server.posts.file_of(self.path)
        folder = self.server.catalogue if in_bench is None else self.server.bench
        self.directory = str(folder)
        path = Path(self.translate_path(self.path if in_bench is None else f"/{in_bench}"))
        if path.is_dir() and self.path.partition("?")[0].endswith("/"):
            path /= "index.html"
        inside = path.resolve().is_relative_to(folder.resolve())
        return path if inside and (path.is_file() or (in_bench is None and path.is_dir())) else None

    def end_headers(self) -> None:
        """Forbid other pages to show these in a frame or to learn their addresses."""
        self.send_header("Content-Security-Policy", "frame-ancestors 'none'")
        self.send_header("Referrer-Policy", "no-referrer")
        super().end_headers()

    def list_directory(self, path: object) -> None:
        """Show no folder's list of files: a web server would not either."""
        del path
        self.send_error(HTTPStatus.NOT_FOUND, "There is no such page")

    def _answer(self, data: bytes, kind: str) -> BytesIO:
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(data)))
        self.send_header("Cache-Control", "no-store")
        self.end_headers()
        return BytesIO(data)

    def log_message(self, format: str, *args: object) -> None:
        """Print no line for a request."""
