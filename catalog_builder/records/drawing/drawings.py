"""The drawings of a product's record: blocks of svg in its body, or files beside it that the record names."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from catalog_builder.mistake import MistakeError, Mistakes, listed, quoted, suggestion
from catalog_builder.records.reading.source import Source, file_beside, lines_of, read

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
    def expected(self) -> str:
        """Where a message says that it must be."""
        opening = f"```svg {self.name}" if self.name else "```svg"
        key = f"`pattern:` under `{self.name}:`" if self.name else "`pattern:`"
        return f"one {self.what}: a block that opens with {opening} and closes with ```, or a file named by {key}"


def read_drawings(
    record: Source, body: Source, required: Sequence[RequiredDrawing], project: Path, folder: Path
) -> tuple[str, dict[str, Source]]:
    """Split a record's body into the description and the drawings, by the names of their parts.

    Raises:
        MistakeError: a drawing is missing, stands twice, or is of no part; a block is not closed.
    """
    blocks, unclosed = _blocks(body)
    body_blocks = _BodyBlocks(record, body, blocks, unclosed)
    drawings: dict[str, Source] = {}
    mistakes = Mistakes()
    _check_names(body, blocks, [drawing.name for drawing in required if drawing.name], mistakes)
    for drawing in required:
        with mistakes.collect():
            if drawing.file is None:
                drawings[drawing.name] = body_blocks.drawing(drawing)
            else:
                body_blocks.refuse_both(drawing)
                what = "the part's drawing" if drawing.name else "the pattern"
                path = file_beside(record, folder, drawing.file, drawing.line, what)
                drawings[drawing.name] = read(project, path)
    mistakes.raise_if_any()
    in_blocks = {number for block in blocks for number in range(block.begin, block.end + 1)}
    rows = enumerate(lines_of(body.text), body.first_line)
    return "\n".join(row for number, row in rows if number not in in_blocks).strip(), drawings


@dataclass(frozen=True, slots=True)
class _BodyBlocks:
    """A record's body with its blocks of svg, and the opening of the first that is not closed."""

    record: Source
    body: Source
    blocks: Sequence[SvgBlock]
    unclosed: Opening | None

    def drawing(self, required: RequiredDrawing) -> Source:
        """Give the drawing in its block.

        Raises:
            MistakeError: there is no such block, or more than one, or it is not closed.
        """
        name = required.name
        blocks = [block for block in self.blocks if block.name == name]
        if len(blocks) == 1:
            first = self.body.first_line
            rows = lines_of(self.body.text)[blocks[0].begin - first + 1 : blocks[0].end - first]
            return Source(self.body.path, "\n".join(rows) + "\n", blocks[0].begin + 1)
        place = self.record.place(required.line) if name else self.body.place()
        wrong, mend = f"the record holds no {required.what}", "add the drawing in such a block"
        if blocks:
            several = f"drawings of the part {name!r}" if name else "patterns"
            wrong, mend = f"the record holds {len(blocks)} {several}", "keep one of them"
            place = self.body.place(blocks[1].begin)
        elif self.unclosed and self.unclosed.name == name:
            what = f"block of the part {name!r}" if name else "pattern's block"
            wrong, mend = f"the {what} is not closed", "add a line of ``` below </svg>"
            place = self.body.place(self.unclosed.line)
        raise MistakeError.at(place, wrong=wrong, expected=required.expected, mend=mend)

    def refuse_both(self, required: RequiredDrawing) -> None:
        """Refuse a drawing that is in a block and in a file.

        Raises:
            MistakeError: there is such a block.
        """
        if any(block.name == required.name for block in self.blocks):
            raise MistakeError.at(
                self.record.place(required.line),
                wrong=f"the record holds a {required.what} and names one as well",
                expected=required.expected,
                mend="take out the block or the key",
                marked=required.file,
            )


def _check_names(body: Source, blocks: Sequence[SvgBlock], parts: Sequence[str], mistakes: Mistakes) -> None:
    """Refuse blocks under a name that no part of the record has."""
    for block in blocks:
        if block.name and block.name not in parts:
            mistakes.add(
                body.place(block.begin),
                wrong=f"the block of svg is named {quoted(block.name)}, and the record has no such part",
                expected=f"```svg alone for the main drawing, or with the name of a part: {listed(parts)}"
                if parts
                else "```svg alone, or parts under `parts:`",
                mend=suggestion(block.name, parts, "take the name out, or add the part under `parts:`"),
                marked=block.name,
            )


def _blocks(body: Source) -> tuple[list[SvgBlock], Opening | None]:
    """Give every block of svg, and the opening of the first one that is not closed before the next one opens."""
    blocks: list[SvgBlock] = []
    unclosed: Opening | None = None
    current: Opening | None = None
    for number, line in enumerate(lines_of(body.text), body.first_line):
        opening = _OPENS.fullmatch(line.rstrip())
        if opening:
            unclosed, current = unclosed or current, Opening(opening[1] or "", number)
        elif current is not None and line.rstrip() == "```":
            blocks.append(SvgBlock(current.name, current.line, number))
            current = None
    return blocks, unclosed or current
