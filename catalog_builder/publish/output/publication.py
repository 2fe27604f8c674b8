"""The three audiences' folders written together, and put in place together or not at all."""

from __future__ import annotations

import errno
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from catalog_builder.cache.atomic_file import CACHE_FOLDER
from catalog_builder.cache.lock import LockedError, exclusive
from catalog_builder.mistake import OutputError
from catalog_builder.publish.output.folder import Folder, Write
from catalog_builder.publish.output.journal import Journal
from catalog_builder.publish.output.removal import remove_leftovers
from catalog_builder.publish.output.signal_guard import SignalGuard

# Called with how many files are written, and about how many there will be.
Progress = Callable[[int, int], None]
Together = Callable[[Path, Mapping[str, Write], Progress, int], "Outcome"]


def publish_together(output: Path, writers: Mapping[str, Write], progress: Progress, files: int) -> Outcome:
    """Write a folder for each name of ``writers``, and put all in place once all are whole, or none.

    A writer gives the count of its pages; ``progress`` is called with how many files are written, and how many there
    will be, which is about ``files``.

    Raises:
        OutputError: the output could not be written; the old one is then as it was.
    """
    try:
        with output_lock(output), SignalGuard() as guard:
            return _publish(output, writers, Count(progress, files), guard)
    except OSError as fault:
        raise _refused(fault) from fault


@contextmanager
def output_lock(output: Path) -> Iterator[None]:
    """Keep other builds out of the output while this one runs.

    Raises:
        OutputError: another build is at work here, or the output cannot be written.
    """
    with ExitStack() as stack:
        try:
            stack.enter_context(exclusive(output / CACHE_FOLDER / "lock"))
        except LockedError:
            raise OutputError(errno.EBUSY, "another build is at work here", str(output)) from None
        except OSError as fault:
            raise _refused(fault) from fault
        yield


def _refused(fault: OSError) -> OutputError:
    return OutputError(fault.errno, fault.strerror or str(fault), fault.filename)


def _publish(output: Path, writers: Mapping[str, Write], count: Count, guard: SignalGuard) -> Outcome:
    folders = {name: Folder(output, name, count.add_file) for name in writers}
    pages, carried_over, journal = 0, list[str](), Journal(output)
    journal.finish()
    try:
        for name, folder in folders.items():
            folder.open()
            pages += writers[name](folder)
        count.end()
        for folder in folders.values():
            carried_over.extend(folder.finish())
        guard.begin()
        journal.write(folders.values())
        for folder in folders.values():
            folder.swap()
        journal.remove()
    except BaseException:
        guard.begin()
        for folder in folders.values():
            with suppress(OSError):  # the others go back all the same
                folder.swap_back()
        journal.remove()
        for folder in folders.values():
            with suppress(OSError):
                folder.drop()
        raise
    for folder in folders.values():
        folder.settle()
    remove_leftovers(output / CACHE_FOLDER / "left")
    return Outcome(
        pages=pages, written=sum(folder.written for folder in folders.values()), carried_over=tuple(carried_over)
    )


class Count:
    """Counts written files, and reports after each hundredth part of about how many there will be."""

    def __init__(self, progress: Progress, files: int) -> None:
        self.progress = progress
        self.files = files
        self.done = 0

    def add_file(self) -> None:
        """Count a file."""
        self.done += 1
        if self.done < self.files and not self.done % max(1, self.files // 100):
            self.progress(self.done, self.files)

    def end(self) -> None:
        """Report that all are written."""
        self.progress(self.files, self.files)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """How many pages were published, how many files are other than before, and what of the maker's was kept.

    That is named by its path in ``site_output``: in a published folder, or beside it, where its name is taken.
    """

    pages: int
    written: int
    carried_over: tuple[str, ...]


def finish_publication(output: Path) -> None:
    """Finish a build that was ended while its folders were put in place; do nothing while another build runs."""
    journal = Journal(output)
    if journal.is_open:
        with suppress(OSError), exclusive(output / CACHE_FOLDER / "lock"):
            journal.finish()
