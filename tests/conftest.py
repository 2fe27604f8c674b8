"""What holds for all tests, also in the processes that share them out."""

from __future__ import annotations

import signal


def pytest_configure() -> None:
    """Let Ctrl-C reach the programs that tests start.

    A shell that starts the tests in the background, and a process that is started to run a share of them, have it
    ignored, and a child would inherit that.
    """
    signal.signal(signal.SIGINT, signal.default_int_handler)
