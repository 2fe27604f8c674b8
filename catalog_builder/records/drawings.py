"""The drawings of a product's record: blocks of svg in its body, or files beside it that the record names."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from catalog_builder.mistake import Mistake, MistakeError, listed, nearest, quoted
from catalog_builder.records.reading.source import Source, beside, lines_of, read

_OPENS = re.compile(r"```svg(?:[ \t]+(\S+))?[ \t]*")


@dataclass(frozen=True, slots=True)
class SvgBlock:
    """A block of svg with the name after its opening, empty for the main drawing, and its first and last line."""

    name: str
    begin: int
    end: int


@dataclass(frozen=True, slots=True)
class Opening:
    """The first line of a block of svg that is not closed, and the name after it."""

    name: str
    line: int


@dataclass(frozen=True, slots=True)
class RequiredDrawing:
    """A drawing that a record must have: its part's name, empty for the main drawing.

    ``file`` is the file that the record names for it, if any, and ``line`` where it does so, or names the part.
    """

    name: str
    file: str | None
    line: int | None

    @property
    def what(self) -> str:
        """What it is called in a message."""
        return f"drawing of the part {self.name!r}" if self.name else "pattern"

    @property
    def opening(self) -> str:
        """How its block begins."""
        return f"```svg {self.name}" if self.name else "```svg"


def read_drawings(
    record: Source, body: Source, wanted: Sequence[RequiredDrawing], project: Path, folder: Path
) -> tuple[str, dict[str, Source]]:
    """Part a record's body into the description and the drawings, by the names of their parts.

    Raises:
        MistakeError: a drawing is missing, stands twice, or is of no part; a block is not closed.
    """
    blocks, opened = _blocks(body)
    drawings: dict[str, Source] = {}
    mistakes = list(_strays(body, blocks, [one.name for one in wanted]))
    for one in wanted:
        try:
            drawings[one.name] = _drawing(record, body, one, blocks, opened, project, folder)
        except MistakeError as fault:
            mistakes.extend(fault.mistakes)
    if mistakes:
        raise MistakeError(mistakes)
    within = {number for block in blocks for number in range(block.begin, block.end + 1)}
    rows = enumerate(lines_of(body.text), body.first_line)
    return "\n".join(row for number, row in rows if number not in within).strip(), drawings


def _drawing(  # noqa: PLR0913, PLR0917 - one for each thing that a drawing is found by
    record: Source,
    body: Source,
    wanted: RequiredDrawing,
    blocks: Sequence[SvgBlock],
    opened: Opening | None,
    project: Path,
    folder: Path,
) -> Source:
    mine = [block for block in blocks if block.name == wanted.name]
    key = f"`pattern:` under `{wanted.name}:`" if wanted.name else "`pattern:`"
    expected = (
        f"one {wanted.what}: a block that opens with {wanted.opening} and closes with ```, or a file named by {key}"
    )
    if wanted.file is not None:
        if mine:
            wrong, mend = f"the record holds a {wanted.what} and names one as well", "take out the block or the key"
            at = record.place(wanted.line)
            raise MistakeError([Mistake(place=at, wrong=wrong, expected=expected, mend=mend, marked=wanted.file)])
        return read(
            project,
            beside(record, folder, wanted.file, wanted.line, "the part's drawing" if wanted.name else "the pattern"),
        )
    if len(mine) != 1:
        line = mine[1].begin if mine else opened.line if opened and opened.name == wanted.name else None
        wrong, mend = f"the record holds no {wanted.what}", "add the drawing in such a block"
        if mine:
            several = f"drawings of the part {wanted.name!r}" if wanted.name else "patterns"
            wrong, mend = f"the record holds {len(mine)} {several}", "keep one of them"
        elif opened and opened.name == wanted.name:
            what = f"block of the part {wanted.name!r}" if wanted.name else "pattern's block"
            wrong, mend = f"the {what} is not closed", "add a line of ``` below </svg>"
        place = record.place(wanted.line) if line is None and wanted.name else body.place(line)
        raise MistakeError([Mistake(place=place, wrong=wrong, expected=expected, mend=mend)])
    rows = lines_of(body.text)[mine[0].begin - body.first_line + 1 : mine[0].end - body.first_line]
    return Source(body.path, "\n".join(rows) + "\n", mine[0].begin + 1)


def _strays(body: Source, blocks: Sequence[SvgBlock], names: Sequence[str]) -> Iterator[Mistake]:
    """Tell blocks that bear the name of no part."""
    for block in blocks:
        if block.name not in names:
            guess = nearest(block.name, filter(None, names))
            yield Mistake(
                place=body.place(block.begin),
                wrong=f"the block of svg is named {quoted(block.name)}, and the record has no such part",
                expected=f"```svg alone for the main drawing, or with the name of a part: {listed(filter(None, names))}"
                if any(names)
                else "```svg alone, or parts under `parts:`",
                mend=f"did you mean {guess!r}?" if guess else "take the name out, or add the part under `parts:`",
                marked=block.name,
            )


def _blocks(body: Source) -> tuple[list[SvgBlock], Opening | None]:
    """Give every block of svg, and the opening of the first that is not closed, by the next one or at all."""
    blocks: list[SvgBlock] = []
    lost: Opening | None = None
    opened: Opening | None = None
    for number, line in enumerate(lines_of(body.text), body.first_line):
        found = _OPENS.fullmatch(line.rstrip())
        if found:
            lost, opened = lost or opened, Opening(found[1] or "", number)
        elif opened is not None and line.rstrip() == "```":
            blocks.append(SvgBlock(opened.name, opened.line, number))
            opened = None
    return blocks, lost or opened
