"""The shortest command, against a Python that imports the command line's library and nothing else."""

from __future__ import annotations

from collections.abc import Iterator

from tests.benchmark.figure import Figure, in_turn
from tests.benchmark.process import python

ROUNDS = 15


def figures() -> Iterator[Figure]:
    """Measure ``--help``."""
    python("-m", "catalog_builder", "--help")  # so that all bytecode is there
    asked, bare = in_turn(
        ROUNDS,
        lambda: python("-m", "catalog_builder", "--help").seconds,
        lambda: python("-c", "import click").seconds,
    )
    yield Figure("--help", asked * 1000, "python -c 'import click'", bare * 1000, "ms", 1.6)
