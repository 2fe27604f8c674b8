"""What holds for all tests, also in the processes that share them out."""

from __future__ import annotations

import os
import signal
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, settings

if TYPE_CHECKING:
    from tests.publish.demo import Demo

# Files that take longest, in an order in which they share a machine well: the first builds the demo, which the second
# does not need. Begun last, one of them would keep a single core busy after all others have ended.
LONGEST = (
    "tests/publish/test_bytes.py",
    "tests/broken/test_check.py",
    "tests/edits/test_edits.py",
    "tests/kills/test_kills.py",
    "tests/commands/rename/test_demo.py",
    "tests/browser/test_access.py",
    "tests/publish/output/test_stop.py",
    "tests/publish/output/test_disks.py",
    "tests/browser/test_reading.py",
    "tests/browser/test_opening.py",
    "tests/browser/test_no_scripts.py",
    "tests/browser/test_scores.py",
    "tests/commands/test_guide.py",
    "tests/test_cli.py",
    "tests/broken/test_broken.py",
)


def pytest_configure() -> None:
    """Let Ctrl-C reach the programs that tests start, and let no property depend on how busy the machine is.

    A shell that starts the tests in the background, and a process that is started to run a share of them, have Ctrl-C
    ignored, and a child would inherit that.
    """
    signal.signal(signal.SIGINT, signal.default_int_handler)
    settings.register_profile("unhurried", deadline=None, suppress_health_check=[HealthCheck.too_slow])
    settings.load_profile("unhurried")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the files that take longest first, where processes share the tests out."""
    if "PYTEST_XDIST_WORKER" in os.environ:
        places = {name: place for place, name in enumerate(LONGEST)}
        items.sort(key=lambda item: places.get(item.nodeid.partition("::")[0], len(LONGEST)))


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
