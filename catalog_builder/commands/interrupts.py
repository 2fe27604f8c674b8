"""Ctrl-C, noted when it comes: a library that is loaded in C may swallow it and raise a fault of its own."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType


@contextmanager
def noting_interrupts() -> Iterator[list[int]]:
    """Give the signals of Ctrl-C that came, each raised as KeyboardInterrupt too; none where Ctrl-C is ignored."""
    received: list[int] = []
    usual = signal.default_int_handler

    def note(number: int, frame: FrameType | None) -> None:
        received.append(number)
        usual(number, frame)

    # Python handles signals in the main thread alone.
    if threading.current_thread() is not threading.main_thread() or signal.getsignal(signal.SIGINT) is not usual:
        yield received
        return
    signal.signal(signal.SIGINT, note)
    try:
        yield received
    finally:
        signal.signal(signal.SIGINT, usual)
