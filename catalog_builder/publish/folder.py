"""A published folder: written whole beside the old one, then put in its place.

A file that is as it was is linked over, so that it keeps its date and costs nothing. Whatever the maker put into the
folder by hand is carried over and never deleted.
"""

from __future__ import annotations

import errno
import json
import os
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from pathlib import Path

from filelock import FileLock, Timeout

from catalog_builder.mistake import OutputError
from catalog_builder.publish.exchange import exchange
from catalog_builder.store import digest_of, program

# Pictures of faulty drawings, which come and go without a build.
FAULTS = "faults"
MADE = ".made-by-catalog-builder.json"
# What a build keeps for the next one: how the published files looked, so that they need not be read again.
KEPT = ".kept"


Write = Callable[["Folder"], int]


def publish_together(output: Path, writers: Mapping[str, Write], tell: Callable[[int], None]) -> Outcome:
    """Write a folder for each name of ``writers``, and put all in place once all are whole, or none.

    A writer gives the count of its pages; ``tell`` is called with the count of folders that are written.

    Raises:
        OutputError: the output could not be written; the old one then stands as it was.
    """
    try:
        with alone(output):
            return _published(output, writers, tell)
    except OSError as fault:
        raise OutputError(*fault.args[:2], fault.filename) from fault


@contextmanager
def alone(output: Path) -> Iterator[None]:
    """Keep every other build out of the output while this one is at work.

    Raises:
        OutputError: another build is at work here, or the output cannot be written.
    """
    path = output / KEPT / "lock"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        # A build that has the output already may come here again.
        lock = FileLock(path, timeout=0, is_singleton=True, thread_local=False)
        lock.acquire()
    except Timeout:
        raise OutputError(errno.EBUSY, "another build is at work here", str(output)) from None
    except OSError as fault:
        raise OutputError(*fault.args[:2], fault.filename) from fault
    try:
        yield
    finally:
        lock.release()


def _published(output: Path, writers: Mapping[str, Write], tell: Callable[[int], None]) -> Outcome:
    folders = {name: Folder(output, name) for name in writers}
    pages, carried = 0, list[str]()
    try:
        for count, (name, folder) in enumerate(folders.items(), 1):
            folder.open()
            pages += writers[name](folder)
            tell(count)
        for name, folder in folders.items():
            carried.extend(f"{name}/{kept}" for kept in folder.finish())
        for folder in folders.values():
            folder.swap()
    except BaseException:
        for folder in folders.values():
            folder.undo()
        raise
    for folder in folders.values():
        folder.settle()
    return Outcome(pages, sum(folder.written for folder in folders.values()), tuple(carried))


@dataclass(frozen=True, slots=True)
class Outcome:
    """How many pages were published, how many files are other than before, and what of the maker's was carried over."""

    pages: int
    written: int
    carried_over: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Seen:
    """A published file as it was when it was last written or read: its digest, its size, and its date in ns.

    ``key`` is that of all that it was made from, empty where nobody said.
    """

    digest: str
    size: int
    date_ns: int
    key: str = ""

    @classmethod
    def of(cls, path: Path, digest: str, key: str = "") -> Seen:
        """Look at a file whose digest is known, and what it was made from."""
        found = path.stat()
        return cls(digest, found.st_size, found.st_mtime_ns, key)

    def is_at(self, path: Path) -> bool:
        """Say whether a file looks as it did."""
        found = path.stat()
        return (found.st_size, found.st_mtime_ns) == (self.size, self.date_ns)


class Folder:
    """One audience's folder of ``site_output/`` while it is being made."""

    def __init__(self, output: Path, name: str) -> None:
        self.final = output / name
        self.making = output / f".{name}-making"
        self.old = output / f".{name}-old"
        self.memory = output / KEPT / "seen" / f"{name}.json"
        self.made: dict[str, Seen] = {}
        self.before: dict[str, str] = {}
        self.seen: dict[str, Seen] = {}
        self.written = 0
        self.opened = self.swapped = False

    @property
    def names(self) -> list[str]:
        """The names of the files that were made so far."""
        return list(self.made)

    def open(self) -> None:
        """Begin with an empty folder, and put right what a build that was cut short left behind."""
        if self.old.exists() and not self.final.exists():
            self.old.rename(self.final)
        for leftover in (self.making, self.old):
            if leftover.exists():
                shutil.rmtree(leftover)
        self.before, self.seen = read_made(self.final), _read_seen(self.memory)
        self.making.mkdir(parents=True)
        self.opened = True

    def write(self, name: str, data: bytes | str) -> None:
        """Write a file; ``name`` is its path inside the folder, with forward slashes."""
        whole = data.encode() if isinstance(data, str) else data
        digest = digest_of(whole)
        if not self.keep(name, digest):
            self._put(name, whole, digest)

    def put(self, name: str, digest: str, read: Callable[[], bytes]) -> None:
        """Write a file whose digest is known; it is read only where it does not stand already."""
        if not self.keep(name, digest):
            self._put(name, read(), digest)

    def make(self, name: str, key: str, make: Callable[[], bytes | str]) -> None:
        """Write a file that follows from a key alone; it is made only where it does not stand already."""
        seen = self.seen.get(name)
        if seen is None or seen.key != key or not self.keep(name, seen.digest):
            self.write(name, make())
        self.made[name] = replace(self.made[name], key=key)

    def text(self, name: str) -> str:
        """Read a file that was made."""
        return (self.making / name).read_text(encoding="utf-8")

    def keep(self, name: str, digest: str) -> bool:
        """Take a file over from the old folder, if it stands there and its bytes have this digest."""
        if self.before.get(name) != digest or not self._stands(name, digest):
            return False
        path = self.making / name
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            os.link(self.final / name, path)
        except OSError:  # the disk knows no links, or the file has as many as it may
            shutil.copy2(self.final / name, path)
        self.made[name] = Seen.of(path, digest)
        return True

    def _stands(self, name: str, digest: str) -> bool:
        """Whether a published file still has the bytes that were made: read again only if its size or date moved."""
        path, seen = self.final / name, self.seen.get(name)
        try:
            if seen is not None and seen.digest == digest and seen.is_at(path):
                return True
            return digest_of(path.read_bytes()) == digest
        except OSError:
            return False

    def _put(self, name: str, data: bytes, digest: str) -> None:
        path = self.making / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
        self.made[name] = Seen.of(path, digest)
        self.written += 1

    def finish(self) -> tuple[str, ...]:
        """Make the new folder whole, and give the names of files that were carried over into it."""
        kept = self._kept()
        for name in kept:
            target = self.making / name
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(self.final / name, target)
        rows = {name: one.digest for name, one in sorted(self.made.items())}
        (self.making / MADE).write_text(json.dumps(rows, indent=0, ensure_ascii=False) + "\n", encoding="utf-8")
        return kept

    def swap(self) -> None:
        """Put the new folder in the old one's place; the old one is kept beside it until all is well."""
        if self.final.exists():
            if exchange(self.making, self.final):
                self.making.rename(self.old)
            else:
                self.final.rename(self.old)
                self.making.replace(self.final)
        else:
            self.making.replace(self.final)
        self.swapped = True

    def settle(self) -> None:
        """Let go of the old folder. What another program holds open is left for the next build to clear away."""
        shutil.rmtree(self.old, ignore_errors=True)
        rows = {name: [one.digest, one.size, one.date_ns, one.key] for name, one in self.made.items()}
        with suppress(OSError):
            self.memory.parent.mkdir(parents=True, exist_ok=True)
            self.memory.write_text(json.dumps({"program": program(), "files": rows}), encoding="utf-8")

    def undo(self) -> None:
        """Throw away what was made; the old folder stands as it was, or comes back."""
        if self.swapped and self.old.exists() and exchange(self.old, self.final):
            self.old.rename(self.making)
        elif self.swapped:
            self.final.rename(self.making)
        if self.opened and self.old.exists() and not self.final.exists():
            self.old.rename(self.final)
        shutil.rmtree(self.making, ignore_errors=True)

    def _kept(self) -> tuple[str, ...]:
        """Find files in the old folder that no build made. A name that is made anew belongs to the build."""
        if not self.final.exists():
            return ()
        there = set(_names(self.final))
        there = {name for name in there if not name.startswith(f"{FAULTS}/")}
        return tuple(sorted(there - set(self.before) - set(self.made) - {MADE}))


def _names(folder: Path) -> Iterator[str]:
    """Give every file of a folder by its path in it, with forward slashes."""
    for place, _, names in os.walk(folder):
        inside = Path(place).relative_to(folder).as_posix()
        yield from (name if inside == "." else f"{inside}/{name}" for name in names)


def read_made(folder: Path) -> dict[str, str]:
    """Read the names and digests of the files that a build made; nothing where that is missing or damaged."""
    try:
        rows = json.loads((folder / MADE).read_text(encoding="utf-8"))
        # Earlier builds wrote down the names alone.
        return (
            dict.fromkeys(rows, "") if isinstance(rows, list) else {str(name): str(one) for name, one in rows.items()}
        )
    except (OSError, ValueError, AttributeError):
        return {}


def _read_seen(path: Path) -> dict[str, Seen]:
    try:
        told = json.loads(path.read_text(encoding="utf-8"))
        # What another version made from the same may be other than what this one would make.
        same = told["program"] == program()
        return {
            str(name): Seen(str(row[0]), int(row[1]), int(row[2]), str(row[3]) if same else "")
            for name, row in told["files"].items()
        }
    except (OSError, ValueError, TypeError, AttributeError, LookupError):
        return {}
