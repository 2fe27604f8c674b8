"""Work on many independent items in several processes, where that saves time."""

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

# A process takes a second or two to start: it saves time from this many items each.
LEAST_EACH = 8
# How many items each process is handed at a time: few, so that little is held in memory and a stop is quick.
QUEUED_EACH = 2


def run_each(
    work: Callable[[Task, Item], None],
    task: Task,
    items: Sequence[Item],
    workers: int,
    progress: Callable[[int, int], None],
    least_each: int = LEAST_EACH,
) -> None:
    """Do ``work`` with a task and each of some items; ``progress`` is called with how many are done of how many.

    ``work`` returns nothing: its results go to a store. It is a function of a module, and its arguments can be
    pickled. Fewer than ``least_each`` items for each process are done in this one. Where the system stops a process,
    the remaining items are not done.
    """
    processes = min(workers, len(items) // least_each)
    steps = _in_processes(work, task, items, processes) if processes > 1 else _here(work, task, items)
    for done, _ in enumerate(steps, 1):
        progress(done, len(items))


def _here(work: Callable[[Task, Item], None], task: Task, items: Sequence[Item]) -> Iterator[None]:
    for item in items:
        work(task, item)
        yield


def _in_processes(
    work: Callable[[Task, Item], None], task: Task, items: Sequence[Item], processes: int
) -> Iterator[None]:
    """Hand items to processes, a few at a time."""
    # A spawned process inherits no threads and locks of this one, on any system.
    context = multiprocessing.get_context("spawn")
    with TemporaryDirectory() as folder:
        # By a file: a full pipe whose reader was stopped would block this process.
        path = Path(folder, "task")
        path.write_bytes(pickle.dumps((work, task)))
        pool = ProcessPoolExecutor(processes, context, _load_task, (str(path),))
        waiting, running = iter(items), set[Future[None]]()
        try:
            while True:
                running |= {pool.submit(_run, item) for item in islice(waiting, processes * QUEUED_EACH - len(running))}
                if not running:
                    return
                done, running = wait(running, return_when=FIRST_COMPLETED)
                for future in done:
                    yield future.result()
        except BrokenProcessPool:
            return
        finally:
            pool.shutdown(cancel_futures=True)


# The function and the task of a process of the pool.
_LOADED: list[tuple[Callable[[Any, Any], None], Any]] = []


def _load_task(path: str) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the process of the pool's owner ends the others
    _LOADED[:] = [pickle.loads(Path(path).read_bytes())]  # noqa: S301 - written a moment ago, for this process


def _run(item: object) -> None:
    work, task = _LOADED[0]
    work(task, item)
