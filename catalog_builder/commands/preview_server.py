"""A server on this computer alone that shows the catalogue's folder, and lets open pages know of each change."""

from __future__ import annotations

import sys
from functools import partial
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from io import BytesIO
from pathlib import Path
from socket import socket
from typing import BinaryIO

# The page asks for this again and again, by the script that is added to every page that is served.
_CHANGES = "/.changes"
_SCRIPT = (
    b"<script>(function(){let seen=null;setInterval(async()=>{try{const answer=await fetch('/.changes');"
    b"const now=await answer.text();if(seen!==null&&now!==seen)location.reload();seen=now}catch(_){}},700)})()</script>"
)


class PortError(OSError):
    """The server cannot listen at a port: another program holds it."""


class PreviewServer(ThreadingHTTPServer):
    """Serves one project's catalogue; ``changes`` counts how often it was made anew."""

    daemon_threads = True

    def __init__(self, project: Path, port: int) -> None:
        self.catalogue = project / "site_output" / "catalogue"
        self.changes = 0
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

    def handle_error(self, request: socket | tuple[bytes, socket], client_address: object) -> None:
        """Say nothing of a browser that hung up: it often does."""
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
        if self.path == _CHANGES:
            return self._answer(str(self.server.changes).encode(), "text/plain")
        try:
            path = self._file()
            if path is None:
                self.send_error(HTTPStatus.NOT_FOUND, "There is no such page")
                return None
            if path.suffix == ".html":
                page = path.read_bytes().replace(b"</body>", _SCRIPT + b"</body>")
                return self._answer(page, "text/html; charset=utf-8")
            return super().send_head()
        except (OSError, ValueError, RuntimeError):  # too long, with a NUL in it, or a loop of links
            self.send_error(HTTPStatus.NOT_FOUND, "There is no such page")
            return None

    def _file(self) -> Path | None:
        """Find the file that an address names; a folder's is its ``index.html``. None outside the catalogue."""
        path = Path(self.translate_path(self.path))
        if path.is_dir() and self.path.partition("?")[0].endswith("/"):
            path /= "index.html"
        inside = path.resolve().is_relative_to(self.server.catalogue.resolve())
        return path if inside and (path.is_file() or path.is_dir()) else None

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
        """Say nothing of each request."""
