"""A host on this machine that serves a folder, as a plain host of the network would."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path


class Quiet(SimpleHTTPRequestHandler):
    """Serves a folder and says nothing of it."""

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing of each request."""


@contextmanager
def serving(folder: Path) -> Iterator[str]:
    """Serve a folder to this machine alone, and give the address of its root."""
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(folder))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_address[1]}/"
        server.shutdown()
