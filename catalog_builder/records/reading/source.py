"""A file of content/, read as text with the numbers of its lines, so that a mistake can show its place."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from catalog_builder.mistake import MistakeError, Place, nearest, quoted
from catalog_builder.records.reading.file import bytes_of, names_in, stays_in

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
        lines = lines_of(self.text)
        index = line - self.first_line
        return Place(path=self.path, line=line, text=lines[index] if 0 <= index < len(lines) else None)


# Every row of a table asks for its line.
@lru_cache(maxsize=16)
def lines_of(text: str) -> tuple[str, ...]:
    """Give the lines of a text as editors count them: split at line feeds only."""
    return tuple(text.split("\n"))


def read(project: Path, path: Path, most_bytes: int = MOST_BYTES) -> Source:
    """Read a text file as UTF-8, with or without a byte order mark.

    Raises:
        MistakeError: the file may not or cannot be read, or is not UTF-8 (with the line of the first bad byte).
    """
    name = path.relative_to(project).as_posix()
    data = bytes_of(project, path, most_bytes).replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    try:
        # Other encodings of Unicode, read as this one, leave zeros between the letters.
        if b"\0" not in data:
            return Source(name, data.decode("utf-8-sig"))
    except UnicodeDecodeError:
        pass
    line, text = _first_wrong_line(data)
    raise MistakeError.at(
        Place(path=name, line=line, text=text),
        wrong="the file is not UTF-8 text",
        expected="text saved as UTF-8",
        mend="save it again and choose UTF-8 as the encoding (in a spreadsheet: CSV UTF-8)",
        marked="\ufffd",
    )


def _first_wrong_line(data: bytes) -> tuple[int, str]:
    """Give the first line that is not UTF-8, with a mark where it is not."""
    for number, line in enumerate(data.replace(b"\0", b"\xff").split(b"\n"), 1):
        try:
            line.decode()
        except UnicodeDecodeError as error:
            return number, line[: error.start].decode() + "\ufffd" + line[error.end :].decode("utf-8", "ignore")
    return 1, ""


def file_beside(record: Source, folder: Path, name: str, line: int | None, what: str) -> Path:
    """Find a file that a record names in the record's own folder.

    Raises:
        MistakeError: the name leads out of the folder (also by a link), or no file is there.
    """
    path = folder / name
    wrong = None
    if Path(name).is_absolute() or "\\" in name or not stays_in(path, folder):
        wrong = f"{what} {quoted(name)} lies outside the record's folder"
        expected = "the name of a file in the same folder as the record"
        mend = "copy the file beside the record and write only its name"
    elif not _is_file(path):
        wrong = f"{what} {quoted(name)} is not there"
        there = [other for other in names_in(folder) if other != "product.md"]
        expected = "a file beside the record" + (f" (there are: {', '.join(there[:8])})" if there else "")
        guess = nearest(name, there)
        mend = f"did you mean {guess!r}? Capitals count" if guess else "put the file there or mend its name"
    if wrong is not None:
        raise MistakeError.at(record.place(line), wrong=wrong, expected=expected, mend=mend, marked=name)
    return path


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):  # a name longer than the disk takes
        return False


def place_in(record: Source, drawing: Source, row: int | None) -> Place:
    """Give the place of a mark: a line of the drawing, or, counted below zero, of the record that sets it."""
    return record.place(-row) if row is not None and row < 0 else drawing.place(row or drawing.first_line)
