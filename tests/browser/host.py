"""A host on this machine that serves a folder, as a plain host of the network would."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

# How long a slow host takes for a file that it sends late.
LATE_S = 0.3


class Quiet(SimpleHTTPRequestHandler):
    """Serves a folder and says nothing of it; files whose names end in one of ``late`` come late."""

    def __init__(self, *given: Any, late: tuple[str, ...], **named: Any) -> None:
        self.late = late
        super().__init__(*given, **named)

    def handle(self) -> None:
        """Answer a browser, which may have left the page that asked."""
        with suppress(ConnectionError):
            super().handle()

    def do_GET(self) -> None:
        """Send a file, late where it is to come late; each has a thread of its own, so that none waits for another."""
        if self.path.endswith(self.late):
            time.sleep(LATE_S)
        super().do_GET()

    def end_headers(self) -> None:
        """Let a browser keep nothing, so that a page is fetched whole each time, also in a profile that is shared."""
        self.send_header("Cache-Control", "no-store")
        super().end_headers()

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing of each request."""


@contextmanager
def serving(folder: Path, late: tuple[str, ...] = ()) -> Iterator[str]:
    """Serve a folder to this machine alone, files of some endings late, and give the address of its root."""
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(folder), late=late)) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_address[1]}/"
        server.shutdown()
