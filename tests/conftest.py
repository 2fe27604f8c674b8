"""What holds for all tests, also in the processes that share them out."""

from __future__ import annotations

import gc
import os
import signal
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, settings

from tests.sharing import Sharing, place_of

if TYPE_CHECKING:
    from xdist.remote import Producer

    from tests.publish.demo import Demo


def pytest_configure() -> None:
    """Let Ctrl-C reach the programs that tests start, and let no property depend on how busy the machine is.

    A shell that starts the tests in the background, and a process that is started to run a share of them, have Ctrl-C
    ignored, and a child would inherit that.
    """
    signal.signal(signal.SIGINT, signal.default_int_handler)
    settings.register_profile("unhurried", deadline=None, suppress_health_check=[HealthCheck.too_slow])
    settings.load_profile("unhurried")


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Producer) -> Sharing:
    """Let the processes share the tests out as ``sharing.py`` says."""
    return Sharing(config, log)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the files that take longest first, where processes share the tests out."""
    if "PYTEST_XDIST_WORKER" in os.environ:
        items.sort(key=lambda item: place_of(item.nodeid))


def pytest_collection_finish() -> None:
    """Look through the thousands of tests for garbage once, not each time that a test leaves some."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(10_000)


@pytest.fixture(scope="session")
def shared_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that all processes of these tests have in common."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


@pytest.fixture(scope="session", autouse=True)
def shared_demo(shared_folder: Path) -> None:
    """Tell small studios where the demo is built, whose products they have."""
    from tests.publish.demo import share_demo

    share_demo(shared_folder / "demo")


@pytest.fixture(scope="session")
def demo(shared_folder: Path) -> Demo:
    """The demo studio's whole output, as of a fixed day; tests read it, and change nothing in it."""
    from tests.publish.demo import demo_in

    return demo_in(shared_folder / "demo")
