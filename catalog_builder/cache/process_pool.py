"""Many hands: work on many things that do not need each other, on every core where that is worth it."""

from __future__ import annotations

import multiprocessing
import pickle
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from itertools import islice
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, TypeVar

Task = TypeVar("Task")
Item = TypeVar("Item")

# A hand takes a second or two to get ready: so many things each make it worth while.
WORTH = 8
# So many things are given out to each hand at a time, so that little is held in memory and little is left to finish.
AHEAD = 2


def run_each(
    work: Callable[[Task, Item], None],
    task: Task,
    items: Sequence[Item],
    workers: int,
    progress: Callable[[int, int], None],
) -> None:
    """Do ``work`` with a task and each of some items; ``tell`` is called with how many are done of how many.

    ``work`` gives nothing back: it leaves what it makes in a store. It is a function of a module, and what it is given
    can be pickled. Where the system stops a process, what is left is left undone.
    """
    hands = min(workers, len(items) // WORTH)
    for done, _ in enumerate(_apart(work, task, items, hands) if hands > 1 else _here(work, task, items), 1):
        progress(done, len(items))


def _here(work: Callable[[Task, Item], None], task: Task, items: Sequence[Item]) -> Iterator[None]:
    for item in items:
        work(task, item)
        yield


def _apart(work: Callable[[Task, Item], None], task: Task, items: Sequence[Item], hands: int) -> Iterator[None]:
    """Give items out to processes of their own, a few at a time."""
    # A process that is begun anew knows nothing of threads and locks of this one, on any system.
    context = multiprocessing.get_context("spawn")
    with TemporaryDirectory() as place:
        # By a file, not by a pipe: one that is full, and whose reader has been stopped, would hold this process up.
        path = Path(place, "task")
        path.write_bytes(pickle.dumps((work, task)))
        pool = ProcessPoolExecutor(hands, context, _begin, (str(path),))
        left, under_way = iter(items), set[Future[None]]()
        try:
            while True:
                under_way |= {pool.submit(_work, one) for one in islice(left, hands * AHEAD - len(under_way))}
                if not under_way:
                    return
                done, under_way = wait(under_way, return_when=FIRST_COMPLETED)
                for future in done:
                    yield future.result()
        except BrokenProcessPool:
            return
        finally:
            pool.shutdown(cancel_futures=True)


_AT_HAND: list[tuple[Callable[[Any, Any], None], Any]] = []


def _begin(path: str) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the process that gave the work out sees to it
    _AT_HAND[:] = [pickle.loads(Path(path).read_bytes())]  # noqa: S301 - written a moment ago, for this process


def _work(item: object) -> None:
    work, task = _AT_HAND[0]
    work(task, item)
