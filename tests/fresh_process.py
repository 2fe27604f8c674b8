"""The command line in a process of its own, as ``python -m catalog_builder`` runs it, but with its libraries loaded.

Loading them takes longer than most builds. A server loads them once and does nothing else; each process is a fork of
it, which has built nothing and remembers nothing. What loading itself does is tested where a program is started anew.
"""

from __future__ import annotations

import ctypes
import io
import multiprocessing
import os
import sys
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
# What a build loads.
_LOADED = (
    *("catalog_builder.__main__", "catalog_builder.cli", "catalog_builder.build", "catalog_builder.commands.check"),
    *("babel.dates", "babel.numbers", "lxml.etree", "markdown.extensions.tables", "markdown.extensions.smarty"),
    *("nh3", "pandas", "PIL.Image", "scipy.optimize", "segno", "shapely", "typst", "xlsxwriter", "yaml"),
)
# Systems that cannot fork start each process from nothing.
_FORKS = "forkserver" in multiprocessing.get_all_start_methods()
_CONTEXT: Any = multiprocessing.get_context("forkserver" if _FORKS else "spawn")
_MOUNTS = 0x00020000  # CLONE_NEWNS, namespaces(7)
PATIENCE_S = 900


@dataclass(frozen=True, slots=True)
class Ended:
    """How a process ended: its exit code, what it wrote to its output and to its errors."""

    code: int
    output: str
    errors: str


def run_fresh(*words: str, mounts_of: int | None = None) -> Ended:
    """Run the command line with some words in a process of its own; with the mounts of another process, if asked.

    Raises:
        TimeoutError: it does not end.
    """
    if _FORKS:
        multiprocessing.set_forkserver_preload(list(_LOADED))
    with TemporaryDirectory() as folder:
        output, errors = Path(folder, "output"), Path(folder, "errors")
        process = _CONTEXT.Process(target=_run, args=(words, output, errors, mounts_of))
        process.start()
        process.join(PATIENCE_S)
        if process.exitcode is None:
            process.kill()
            raise TimeoutError(f"{' '.join(words)} did not end within {PATIENCE_S} seconds")
        return Ended(process.exitcode, output.read_text(encoding="utf-8"), errors.read_text(encoding="utf-8"))


def _run(words: tuple[str, ...], output: Path, errors: Path, mounts_of: int | None) -> None:
    """Run the command line with its words, its output and its errors in files."""
    for number, path in ((1, output), (2, errors)):
        with path.open("wb") as file:
            os.dup2(file.fileno(), number)
    sys.stdout, sys.stderr = (io.TextIOWrapper(io.FileIO(number, "w", closefd=False), "utf-8") for number in (1, 2))
    if mounts_of is not None:
        _join_mounts(mounts_of)
    os.chdir(ROOT)
    sys.argv = ["catalog-builder", *words]

    from catalog_builder.__main__ import main

    main()


def _join_mounts(pid: int) -> None:
    """See the disks that a process sees."""
    space = os.open(f"/proc/{pid}/ns/mnt", os.O_RDONLY)
    if ctypes.CDLL(None, use_errno=True).setns(space, _MOUNTS):
        raise OSError(ctypes.get_errno(), f"the mounts of process {pid} cannot be joined")
    os.close(space)
