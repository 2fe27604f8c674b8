"""Several processes leave the results that one process leaves, also if one of them is killed."""

from __future__ import annotations

import os
import signal
from pathlib import Path

import pytest

from catalog_builder.cache.process_pool import LEAST_EACH, QUEUED_EACH, run_each


def note(folder: Path, number: int) -> None:
    """Leave a note of a number, and of the process that wrote it."""
    (folder / str(number)).write_text(f"{number * number} {os.getpid()}", encoding="utf-8")


def fall_once(folder: Path, number: int) -> None:
    """Leave a note, but be stopped by the system at the third number."""
    if number == 3:
        os.kill(os.getpid(), signal.SIGKILL if hasattr(signal, "SIGKILL") else signal.SIGTERM)
    note(folder, number)


def refuse(_folder: Path, number: int) -> None:
    """Fail at a number."""
    if number == 3:
        raise ValueError("three")


def notes(folder: Path) -> dict[int, tuple[int, int]]:
    """What was noted: the square of each number, and the process."""
    squares = {}
    for path in folder.iterdir():
        square, process = path.read_text(encoding="utf-8").split()
        squares[int(path.name)] = int(square), int(process)
    return squares


@pytest.mark.parametrize(
    ("count", "workers"), [(2 * LEAST_EACH, 2), (2 * LEAST_EACH - 1, 2), (2 * LEAST_EACH, 1), (0, 2)]
)
def test_everything_is_done_once(tmp_path: Path, count: int, workers: int) -> None:
    """Each thing is done and counted; processes are begun only where each has enough to do."""
    reported: list[tuple[int, int]] = []
    run_each(note, tmp_path, range(count), workers, lambda done, total: reported.append((done, total)))
    assert reported == [(done, count) for done in range(1, count + 1)]
    squares = notes(tmp_path)
    assert {number: square for number, (square, _) in squares.items()} == {n: n * n for n in range(count)}
    apart = count >= workers * LEAST_EACH > LEAST_EACH
    assert all((process != os.getpid()) == apart for _, process in squares.values())


def test_process_that_is_stopped_stops_nothing_else(tmp_path: Path) -> None:
    """Where the system stops a process for want of memory, the build goes on, and the rest is made later."""
    run_each(fall_once, tmp_path, range(2 * LEAST_EACH), 2, lambda _done, _total: None)
    # The pool ends the other process too, perhaps while it writes a note.
    assert not (tmp_path / "3").exists()


def test_fault_in_a_process_is_told(tmp_path: Path) -> None:
    """What goes wrong in a process goes wrong in the build, and no process is left behind."""
    with pytest.raises(ValueError, match="three"):
        run_each(refuse, tmp_path, range(2 * LEAST_EACH), 2, lambda _done, _total: None)


def test_little_is_given_out_at_a_time(tmp_path: Path) -> None:
    """Things are taken from the list as hands come free, so that a long list is not held in memory twice."""
    taken: list[int] = []

    class Items(list[int]):
        def __iter__(self):  # type: ignore[no-untyped-def]
            for number in range(len(self)):
                taken.append(number)
                yield number

    most = 0

    def progress(done: int, _total: int) -> None:
        nonlocal most
        most = max(most, len(taken) - done)

    run_each(note, tmp_path, Items(range(4 * LEAST_EACH)), 2, progress)
    assert len(taken) == 4 * LEAST_EACH
    assert most <= 2 * QUEUED_EACH
