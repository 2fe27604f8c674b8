"""A page of the catalogue that ``look`` shows, kept open as in a browser: it asks for changes, and loads itself."""

from __future__ import annotations

import hashlib
import os
import re
import socket
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from queue import Queue
from threading import Thread
from types import TracebackType
from typing import Self
from urllib.parse import urljoin
from urllib.request import urlopen

from tests.benchmark.process import PROC, ROOT, CommandError

BETWEEN_LOOKS_S = 0.02
PATIENCE_S = 900
_LINKED = re.compile(r'(?:\.\./)+(?:assets|pictures)/[^"\s,>]+')


class OpenPage:
    """Runs ``look`` on a studio and holds a page of it open; ``after`` times an edit."""

    def __init__(self, root: Path, path: str) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = free.getsockname()[1]
        self.address = f"http://127.0.0.1:{port}/"
        self.path = path
        command = ("-m", "catalog_builder", "look", "--folder", str(root), "--port", str(port), "--no-browser")
        self._server = subprocess.Popen(
            (sys.executable, "-u", *command), cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
        )
        self._said: Queue[str] = Queue()
        Thread(target=self._listen, daemon=True).start()

    def __enter__(self) -> Self:
        """Wait until the page is shown, and open it."""
        self._wait_for("Showing the bench")
        self._shown = self._load()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """End the server."""
        self._server.kill()
        self._server.wait()

    def after(self, edit: Callable[[], None]) -> tuple[float, float]:
        """Edit, and give the seconds and the server's processor seconds until the page shows it; wait for the rest.

        Raises:
            CommandError: the page was loaded anew, and looks as before.
        """
        changes = self._get(".changes")
        edit()
        start, worked = time.perf_counter(), self._processor_s()
        while self._get(".changes") == changes:
            if time.perf_counter() - start > PATIENCE_S:
                raise CommandError(f"no change was shown: {self._heard()}")
            time.sleep(BETWEEN_LOOKS_S)
        shown = self._load()
        took = time.perf_counter() - start, self._processor_s() - worked
        if shown == self._shown:
            raise CommandError(f"the page looks as before: {self._heard()}")
        self._wait_for("Made ")
        self._shown = self._load()
        return took

    def _load(self) -> str:
        """Load the page with its styles, scripts and pictures, as a browser does, and give the digest of all."""
        page = self._get(self.path)
        address = urljoin(self.address, self.path)
        linked = sorted({urljoin(address, name) for name in _LINKED.findall(page.decode())})
        digest = hashlib.blake2b(page)
        for each in linked:
            digest.update(self._get(each.removeprefix(self.address)))
        return digest.hexdigest()

    def _get(self, path: str) -> bytes:
        with urlopen(self.address + path, timeout=PATIENCE_S) as answer:  # noqa: S310 - its own server
            data: bytes = answer.read()
        return data

    def _processor_s(self) -> float:
        """Give the processor time of the server so far, with that of its children that have ended; 0 without /proc."""
        try:
            values = (PROC / str(self._server.pid) / "stat").read_text().rpartition(")")[2].split()
        except OSError:
            return 0.0
        return sum(map(int, values[11:15])) / os.sysconf("SC_CLK_TCK")

    def _listen(self) -> None:
        for line in self._server.stdout or ():
            self._said.put(line)
        self._said.put("")

    def _wait_for(self, words: str) -> None:
        while words not in (line := self._said.get(timeout=PATIENCE_S)):
            if not line or "program failed" in line or "still shown" in line:
                raise CommandError(f"look: {line}{self._heard()}")

    def _heard(self) -> str:
        return "".join(self._said.get() for _ in range(self._said.qsize()))
