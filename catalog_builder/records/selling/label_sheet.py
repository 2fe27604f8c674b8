"""A sheet of labels or tags, described by measure: ``content/labels/NAME.toml``, or one that comes with the program."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from importlib.resources import files
from pathlib import Path
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from catalog_builder.mistake import MistakeError, Mistakes, Place, quoted
from catalog_builder.records.reading.file import files_in
from catalog_builder.records.reading.source import Source, read
from catalog_builder.records.reading.toml import key_line, read_toml
from catalog_builder.records.reading.validation import validate
from catalog_builder.records.reading.values import Length, Line, Record, as_written, refusal
from catalog_builder.records.studio_tables.paper import PAPERS_MM, Paper
from catalog_builder.units import length_mm

MOST_SHEETS = 100
# Makers' sheets are cut to about a tenth of a millimetre, and sizes in inches do not come out even in mm.
SLACK_MM = 0.1
LEAST_LABEL_MM = (15.0, 8.0)
# Used where the maker names no sheet.
USUAL = {"A4": "a4-3x8", "Letter": "letter-3x10"}


def _edge(value: Any) -> float:
    """Read a distance from the edge of the paper, which may be 0."""
    if isinstance(value, int | Decimal) and not isinstance(value, bool) and value == 0:
        return 0.0
    if isinstance(value, str):
        try:
            return length_mm(value)
        except ValueError:
            pass
    expected = "0 without a unit, or a number with a unit (mm, cm, m, in, ft), such as 12.9 mm"
    raise refusal(f"{as_written(value)} is not a distance", expected, "write a number, a space and the unit")


Edge = Annotated[float, BeforeValidator(_edge)]


class LabelSheetKeys(Record):
    """``labels/NAME.toml``: a sheet of labels or tags by measure."""

    paper: Paper = Field(description="A4 or Letter, upright")
    columns: int = Field(ge=1, le=20, description="how many labels stand side by side")
    rows: int = Field(ge=1, le=40, description="how many labels stand one below the other")
    left: Edge = Field(description="from the paper's left edge to the first label, such as 7.25 mm, or 0")
    top: Edge = Field(description="from the paper's upper edge to the first label")
    label_width: Length = Field(description="the width of a label")
    label_height: Length = Field(description="the height of a label")
    across: Length | None = Field(
        None, description="from a label's left edge to that of the next; without it the labels touch"
    )
    down: Length | None = Field(
        None, description="from a label's upper edge to that of the next; without it the labels touch"
    )
    note: Line | None = Field(None, description="what the maker wrote beside it")


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """A sheet with its name; all lengths in mm, from the upper left corner of the paper."""

    name: str
    paper: Paper
    columns: int
    rows: int
    left: float
    top: float
    width: float
    height: float
    across: float
    down: float

    @property
    def count(self) -> int:
        """How many labels a sheet has."""
        return self.columns * self.rows

    @property
    def paper_mm(self) -> tuple[float, float]:
        """Width and height of the paper."""
        return PAPERS_MM[self.paper]

    @property
    def right(self) -> float:
        """Where the last column ends."""
        return self.left + (self.columns - 1) * self.across + self.width

    @property
    def bottom(self) -> float:
        """Where the last row ends."""
        return self.top + (self.rows - 1) * self.down + self.height

    def corner(self, cell: int) -> tuple[float, float]:
        """Give the upper left corner of a cell, counted from 0 in reading order."""
        row, column = divmod(cell, self.columns)
        return self.left + column * self.across, self.top + row * self.down


def packaged_sheets() -> dict[str, LabelSheet]:
    """Give the sheets that come with the program."""
    folder = files("catalog_builder.records.selling").joinpath("label_sheets")
    texts = {path.name.removesuffix(".toml"): path.read_text(encoding="utf-8") for path in folder.iterdir()}
    return {name: read_label_sheet(name, Source(f"{name}.toml", texts[name])) for name in sorted(texts)}


def read_label_sheets(project: Path) -> dict[str, LabelSheet]:
    """Give the program's sheets and those of ``content/labels/``, which replace those of the same name.

    Raises:
        MistakeError: with everything that is wrong in the maker's own sheets.
    """
    folder = project / "content" / "labels"
    paths = files_in(project, folder, ".toml")
    if len(paths) > MOST_SHEETS:
        wrong, mend = f"there are {len(paths)} sheets of labels", "take out those that are not used"
        place = Place(path="content/labels")
        raise MistakeError.at(place, wrong=wrong, expected=f"up to {MOST_SHEETS}", mend=mend)
    sheets, mistakes = packaged_sheets(), Mistakes()
    for path in paths:
        with mistakes.collect():
            sheets[path.stem] = read_label_sheet(path.stem, read(project, path))
    mistakes.raise_if_any()
    return sheets


def read_label_sheet(name: str, source: Source) -> LabelSheet:
    """Read one sheet.

    Raises:
        MistakeError: a key is wrong, or the labels overlap, leave the paper or are too small for words.
    """
    keys = validate(LabelSheetKeys, read_toml(source), source, lambda path: key_line(source.text, path))
    sheet = LabelSheet(
        name,
        keys.paper,
        keys.columns,
        keys.rows,
        keys.left,
        keys.top,
        keys.label_width,
        keys.label_height,
        keys.across or keys.label_width,
        keys.down or keys.label_height,
    )
    mistakes = Mistakes()
    for axis in (_ACROSS, _DOWN):
        _check_fit(sheet, axis, source, mistakes)
    mistakes.raise_if_any()
    return sheet


@dataclass(frozen=True, slots=True)
class _Axis:
    """One direction of a sheet: the names of its keys, and of the edge at its end."""

    index: int
    edge: str
    count: str
    size: str
    pitch: str
    far: str


_ACROSS = _Axis(0, "left", "columns", "label_width", "across", "right edge")
_DOWN = _Axis(1, "top", "rows", "label_height", "down", "lower edge")


def _check_fit(sheet: LabelSheet, axis: _Axis, source: Source, mistakes: Mistakes) -> None:
    size, pitch = (sheet.width, sheet.across) if axis.index == 0 else (sheet.height, sheet.down)
    end, paper = (sheet.right, sheet.bottom)[axis.index], sheet.paper_mm[axis.index]
    size_at, pitch_at, count_at = (
        source.place(key_line(source.text, (key,))) for key in (axis.size, axis.pitch, axis.count)
    )
    if size < LEAST_LABEL_MM[axis.index]:
        mistakes.add(
            size_at,
            wrong=f"{axis.size}: {size:g} mm has no room for words",
            expected=f"at least {LEAST_LABEL_MM[axis.index]:g} mm",
            mend="check the number and its unit",
        )
    if pitch < size - SLACK_MM:
        mistakes.add(
            pitch_at,
            wrong=f"the labels overlap by {size - pitch:.4g} mm",
            expected=f"{quoted(axis.pitch)} from {size:g} mm, the size of a label, up",
            mend=f"measure {axis.pitch} from one label's edge to the same edge of the next",
        )
    elif end > paper + SLACK_MM:
        mistakes.add(
            count_at,
            wrong=f"the labels leave the paper: they end {end - paper:.4g} mm past its {axis.far}",
            expected=f"{axis.edge} and {axis.count} within the {paper:g} mm of {sheet.paper}",
            mend=f"check {axis.edge}, {axis.count}, {axis.size} and {axis.pitch} against the sheet",
        )
