"""Signals that would end the program, held back while published folders change places."""

from __future__ import annotations

import signal
import threading
from types import FrameType, TracebackType

# Ctrl-C comes last, so that all else is as it was before one that comes now can end the program.
_NAMES = ("SIGTERM", "SIGHUP", "SIGBREAK", "SIGINT")


class SignalGuard:
    """From ``begin`` to the end of the block no signal ends the program.

    Signals that came in between are then raised again, Ctrl-C as KeyboardInterrupt. Python handles signals in the main
    thread alone, so that in others there is nothing to hold back.
    """

    def __init__(self) -> None:
        self._before: dict[int, signal._HANDLER] = {}
        self._received: list[int] = []

    def __enter__(self) -> SignalGuard:
        return self

    def begin(self) -> None:
        """Hold back from now on."""
        if self._before or threading.current_thread() is not threading.main_thread():
            return
        for name in reversed(_NAMES):
            number = getattr(signal, name, None)
            if number is not None and signal.getsignal(number) is not None:
                self._before[number] = signal.getsignal(number)
                signal.signal(number, self._note)

    def _note(self, number: int, _frame: FrameType | None) -> None:
        self._received.append(number)

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        for number in reversed(self._before):
            signal.signal(number, self._before[number])
        for number in sorted(set(self._received), key=list(reversed(self._before)).index):
            if number != signal.SIGINT or not isinstance(fault, KeyboardInterrupt):
                signal.raise_signal(number)
