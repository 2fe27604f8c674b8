"""A file of content/, read as text with its lines kept, so that a mistake can show where it stands."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from catalog_builder.mistake import Mistake, MistakeError, Place

MOST_BYTES = 4_000_000


@dataclass(frozen=True, slots=True)
class Source:
    """A text with its path from the project's folder and the number of its first line in that file."""

    path: str
    text: str
    first_line: int = 1

    def place(self, line: int | None = None) -> Place:
        """Give the place of a line, counted as the file counts it, with the line's text."""
        if line is None:
            return Place(path=self.path)
        lines = self.text.splitlines()
        index = line - self.first_line
        return Place(path=self.path, line=line, text=lines[index] if 0 <= index < len(lines) else None)


def read(project: Path, path: Path) -> Source:
    """Read a text file as UTF-8, with or without a byte order mark.

    Raises:
        MistakeError: the file is missing, too large, or not UTF-8 (with the line of the first bad byte).
    """
    shown = path.relative_to(project).as_posix()
    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise MistakeError(
                [
                    Mistake(
                        place=Place(path=shown),
                        wrong=f"the file is too large: {size / 1e6:.1f} MB",
                        expected=f"a text file of at most {MOST_BYTES // 1_000_000} MB",
                        mend="check that this is the file you meant; keep pictures out of text files",
                    )
                ]
            )
        data = path.read_bytes()
    except FileNotFoundError:
        raise MistakeError(
            [
                Mistake(
                    place=Place(path=shown),
                    wrong="the file is missing",
                    expected=f"a file at {shown}",
                    mend="put the file there, or run `catalog-builder begin` to lay out a fresh folder",
                )
            ]
        ) from None
    except OSError as fault:
        raise MistakeError(
            [
                Mistake(
                    place=Place(path=shown),
                    wrong=f"the file cannot be read ({fault.strerror})",
                    expected="a file that this user may read",
                    mend="close it in other programs and check its permissions",
                )
            ]
        ) from None
    try:
        return Source(shown, data.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n"))
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        text = data.splitlines()[line - 1].decode("utf-8", "replace")
        raise MistakeError(
            [
                Mistake(
                    place=Place(path=shown, line=line, text=text),
                    wrong="the file is not UTF-8 text",
                    expected="text saved as UTF-8",
                    mend="save it again and choose UTF-8 as the encoding (in a spreadsheet: CSV UTF-8)",
                    marked="\ufffd",
                )
            ]
        ) from None


def beside(record: Source, folder: Path, name: str, line: int | None, what: str) -> Path:
    """Find a file that a record names, and hold it inside the record's own folder.

    Raises:
        MistakeError: the name leads out of the folder (also by a link), or no file is there.
    """
    path = folder / name
    inside = folder.resolve()
    wrong = None
    if Path(name).is_absolute() or "\\" in name or not path.resolve().is_relative_to(inside):
        wrong = f"{what} {name!r} lies outside the product's folder"
        expected = "the name of a file in the same folder as the record"
        mend = "copy the file beside the record and write only its name"
    elif not path.is_file():
        wrong = f"{what} {name!r} is not there"
        there = sorted(found.name for found in folder.iterdir() if found.name != "product.md")
        expected = "a file beside the record" + (f" (there are: {', '.join(there[:8])})" if there else "")
        mend = "put the file there or mend its name; capitals count"
    if wrong is not None:
        raise MistakeError([Mistake(place=record.place(line), wrong=wrong, expected=expected, mend=mend, marked=name)])
    return path
