"""What holds for all tests, also in the processes that share them out."""

from __future__ import annotations

import os
import signal
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.publish.demo import Demo


def pytest_configure() -> None:
    """Let Ctrl-C reach the programs that tests start.

    A shell that starts the tests in the background, and a process that is started to run a share of them, have it
    ignored, and a child would inherit that.
    """
    signal.signal(signal.SIGINT, signal.default_int_handler)


@pytest.fixture(scope="session")
def shared_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that all processes of these tests have in common."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


@pytest.fixture(scope="session")
def demo(shared_folder: Path) -> Demo:
    """The demo studio's whole output, as of a fixed day; tests read it, and change nothing in it."""
    from tests.publish.demo import demo_in

    return demo_in(shared_folder / "demo")
