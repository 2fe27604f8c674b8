"""Compiling a PDF with typst, and freeing the memory that this takes.

typst keeps what it has compiled for its next ten documents, and never frees what gradients of an SVG take: some 200 kB
for a drawn piece. A document of many drawings is therefore compiled in a process of its own.
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

# Compiling a document of so many bytes takes 100 MB of memory or more; freeing it takes less than a tenth of a second.
LARGE = 500_000
# typst 0.15 lets go of what ten compilations in a row had no use for.
REMEMBERED = 10


def compile_here(arguments: Mapping[str, Any]) -> bytes:
    """Set a document; ``asked`` are the arguments of ``typst.compile``."""
    import typst

    pdf = bytes(typst.compile(**arguments))
    if len(pdf) >= LARGE:
        for _ in range(REMEMBERED + 1):
            typst.compile(b"", ignore_system_fonts=True)
        # glibc keeps freed memory as long as anything above it is in use.
        with suppress(OSError, AttributeError):
            ctypes.CDLL(None).malloc_trim(0)
    return pdf


def compile_in_process(arguments: Mapping[str, Any]) -> bytes:
    """Compile a document in a process of its own; in this one if that is stopped or the document has a fault."""
    with TemporaryDirectory() as place:
        # Files, not pipes: a full pipe whose reader has been stopped would block this process.
        task, pdf = Path(place, "task"), Path(place, "pdf")
        task.write_bytes(pickle.dumps(arguments))
        process = multiprocessing.get_context("spawn").Process(target=_compile_to_file, args=(str(task), str(pdf)))
        process.start()
        try:
            process.join()
        finally:
            process.kill()
            process.join()
        return pdf.read_bytes() if process.exitcode == 0 and pdf.exists() else compile_here(arguments)


def _compile_to_file(task: str, pdf: str) -> None:
    import typst

    with suppress(Exception):  # reported where it is compiled again
        Path(pdf).write_bytes(typst.compile(**pickle.loads(Path(task).read_bytes())))  # noqa: S301 - written a moment ago
