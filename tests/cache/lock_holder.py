"""A process of its own that holds a lock, for tests of what another process then may do."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

CODE = """
import sys
from pathlib import Path
from catalog_builder.cache.lock import exclusive
with exclusive(Path(sys.argv[1])):
    print("held", flush=True)
    sys.stdin.read()
"""


@contextmanager
def holder(path: Path) -> Iterator[subprocess.Popen[str]]:
    """Hold the lock of a file in another process while the block runs."""
    process = subprocess.Popen(
        [sys.executable, "-c", CODE, str(path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    try:
        assert process.stdout is not None
        assert process.stdout.readline() == "held\n"
        yield process
    finally:
        process.communicate()
