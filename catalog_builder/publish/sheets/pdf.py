"""The setting of a PDF by typst, and what becomes of the memory that it takes.

typst keeps what it has set for its next ten documents, and never gives back what gradients of an SVG take: some 200 kB
for a drawn piece. A document of many drawings is set in a process that ends with it.
"""

from __future__ import annotations

import ctypes
import multiprocessing
import pickle
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

# Setting a document of so many bytes takes 100 MB of memory or more; forgetting it takes less than a tenth of a second.
LARGE = 500_000
# typst 0.15 lets go of what ten compilations in a row had no use for.
REMEMBERED = 10


def set_here(asked: Mapping[str, Any]) -> bytes:
    """Set a document; ``asked`` are the arguments of ``typst.compile``."""
    import typst

    pdf = bytes(typst.compile(**asked))
    if len(pdf) >= LARGE:
        for _ in range(REMEMBERED + 1):
            typst.compile(b"", ignore_system_fonts=True)
        # glibc keeps what was given back to it, as long as anything above it is in use.
        with suppress(OSError, AttributeError):
            ctypes.CDLL(None).malloc_trim(0)
    return pdf


def set_apart(asked: Mapping[str, Any]) -> bytes:
    """Set a document in a process of its own; here, where the system stops that one or the document has a fault."""
    with TemporaryDirectory() as place:
        # By files, not by pipes: one that is full, and whose reader has been stopped, would hold this process up.
        task, pdf = Path(place, "task"), Path(place, "pdf")
        task.write_bytes(pickle.dumps(asked))
        process = multiprocessing.get_context("spawn").Process(target=_set, args=(str(task), str(pdf)))
        process.start()
        try:
            process.join()
        finally:
            process.kill()
            process.join()
        return pdf.read_bytes() if process.exitcode == 0 and pdf.exists() else set_here(asked)


def _set(task: str, pdf: str) -> None:
    import typst

    with suppress(Exception):  # told where it is set again
        Path(pdf).write_bytes(typst.compile(**pickle.loads(Path(task).read_bytes())))  # noqa: S301 - written a moment ago
