"""A folder whose files are not written: each is made when it is read, as while the whole output is still being made."""

from __future__ import annotations

from collections.abc import Callable

from catalog_builder.publish.output.folder import Folder


class UnwrittenFolder(Folder):
    """Takes what is written into an audience's folder, and makes a file only when ``read`` asks for it."""

    def __init__(self) -> None:
        self.makers: dict[str, Callable[[], bytes | str]] = {}

    def write(self, name: str, data: bytes | str) -> None:
        """Take a file's bytes or text."""
        self.makers[name] = lambda: data

    def put(self, name: str, digest: str, read: Callable[[], bytes]) -> None:
        """Take what reads a file."""
        del digest
        self.makers[name] = read

    def make(self, name: str, key: str, make: Callable[[], bytes | str]) -> None:
        """Take what makes a file."""
        del key
        self.makers[name] = make

    def read(self, name: str) -> bytes | None:
        """Make a file and give its bytes; None where there is none of that name."""
        make = self.makers.get(name)
        if make is None:
            return None
        data = make()
        return data.encode() if isinstance(data, str) else data
