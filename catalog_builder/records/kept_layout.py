"""A kept layout: ``content/batches/<name>.layout.json``, pieces on sheets of glass, written when the maker asks for it.

It is computed once and then read, so that no price depends on how well the pieces were packed on a day.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Annotated, NamedTuple

from pydantic import BeforeValidator, Field

from catalog_builder.cache.atomic_file import replace_file
from catalog_builder.mistake import MistakeError, Mistakes, Place
from catalog_builder.records.batch_plan import Plan
from catalog_builder.records.reading.file import is_there
from catalog_builder.records.reading.source import read
from catalog_builder.records.reading.validation import validate
from catalog_builder.records.reading.values import Day, Name, Record, as_written, refusal

MOST_PIECES = 2_000
MOST_SHEETS = 200
SUFFIX = ".layout.json"
_MEND = "restore it from a copy, or delete it and lay the batch again"


def _measure(value: object) -> float:
    if isinstance(value, int | float) and not isinstance(value, bool) and -10_000 <= value <= 10_000:
        return float(value)
    raise refusal(f"{as_written(value)} is not a measure", "a number of mm or degrees", "lay the batch again")


def _text(value: object) -> str:
    if isinstance(value, str) and len(value) <= 200:
        return value
    raise refusal(f"{as_written(value)} is not a name", "a short text", "lay the batch again")


Measure = Annotated[float, BeforeValidator(_measure)]
Short = Annotated[str, BeforeValidator(_text)]


class PieceKey(NamedTuple):
    """What belongs to one cut of a batch only; ``part`` is empty for the main drawing."""

    product: str
    size: str
    part: str
    number: str
    mirrored: bool

    @property
    def design(self) -> tuple[str, str, str]:
        """The drawing that it belongs to."""
        return self.product, self.size, self.part


class PlacedPiece(Record):
    """A piece on a sheet.

    Its outline begins with its grain along the sheet's and its box's upper left corner at 0, 0; then it is
    turned about that corner by ``turn`` degrees (clockwise as seen), then moved by ``x`` and ``y`` mm (y downwards).
    ``mirrored``: it is a piece of a part's mirror image, which is a cut of its own. ``face_down``: it is cut from the
    other face of the glass, its outline mirrored left to right within its box before it is turned.
    """

    product: Short
    size: Short
    number: Short
    turn: Measure
    x: Measure
    y: Measure
    part: Short = ""
    mirrored: bool = False
    spare: bool = False
    face_down: bool = False

    @property
    def key(self) -> PieceKey:
        """The cut that it is."""
        return PieceKey(self.product, self.size, self.part, self.number, self.mirrored)


class LaidSheet(Record):
    """A sheet of glass, or an offcut from stock, and what is cut from it, out of ``used_mm`` of its width."""

    offcut: bool
    width_mm: Measure = Field(gt=0)
    height_mm: Measure = Field(gt=0)
    used_mm: Measure = Field(ge=0)
    pieces: tuple[PlacedPiece, ...] = Field(min_length=1, max_length=MOST_PIECES)


class LaidGlass(Record):
    """All sheets of one glass."""

    material: Name
    sheets: tuple[LaidSheet, ...] = Field(min_length=1, max_length=MOST_SHEETS)


class KeptLayout(Record):
    """The layout of a plan, with the day on which it was made and a fingerprint of all that it was made from."""

    laid_on: Day
    fingerprint: Short
    glasses: tuple[LaidGlass, ...] = Field(max_length=500)


def layout_path(project: Path, plan: str) -> Path:
    """Give the file in which the layout of a plan is kept."""
    return project / "content" / "batches" / f"{plan}{SUFFIX}"


def read_layouts(project: Path, plans: Sequence[Plan]) -> dict[str, KeptLayout]:
    """Read the kept layout of each plan that has one.

    Raises:
        MistakeError: a file is damaged.
    """
    mistakes = Mistakes()
    layouts: dict[str, KeptLayout] = {}
    for plan in plans:
        path = layout_path(project, plan.name)
        if is_there(path):
            with mistakes.collect():
                layouts[plan.name] = _read(project, path)
    mistakes.raise_if_any()
    return layouts


def _read(project: Path, path: Path) -> KeptLayout:
    source = read(project, path)
    try:
        values = json.loads(source.text)
    except (ValueError, RecursionError) as error:
        raise _damaged(source.place(getattr(error, "lineno", None)), "cannot be read as JSON") from None
    if not isinstance(values, dict):
        raise _damaged(source.place(), "holds no layout")
    try:
        return validate(KeptLayout, values, source, lambda _: None)
    except MistakeError as error:
        # Nobody writes a layout by hand, so that the advice for each value helps nobody.
        raise MistakeError([replace(mistake, mend=_MEND) for mistake in error.mistakes]) from None


def _damaged(place: Place, how: str) -> MistakeError:
    expected = "the file as `catalog-builder batch NAME --lay` wrote it"
    return MistakeError.at(place, wrong=f"the kept layout {how}", expected=expected, mend=_MEND)


def keep_layout(project: Path, plan: str, layout: KeptLayout) -> Path:
    """Write the layout of a plan and give its path.

    Raises:
        MistakeError: it cannot be written; the old one is unchanged.
    """
    path = layout_path(project, plan)
    try:
        replace_file(path, written(layout).encode())
    except OSError as error:
        raise MistakeError.at(
            Place(path=path.relative_to(project).as_posix()),
            wrong=f"the layout cannot be written ({error.strerror})",
            expected="a folder that this user may write, with room on the disk",
            mend="check these; the old one stands",
        ) from None
    return path


def written(layout: KeptLayout) -> str:
    """Give the text of a layout: a line for each piece, so that two of them can be compared."""
    plain = layout.model_dump(mode="json", exclude_defaults=True)
    glasses = []
    for glass in plain["glasses"]:
        sheets = []
        for sheet in glass["sheets"]:
            rows = ",\n".join(f"        {json.dumps(piece, ensure_ascii=False)}" for piece in sheet.pop("pieces"))
            head = json.dumps(sheet)[:-1]
            sheets.append(f'      {head}, "pieces": [\n{rows}\n      ]}}')
        joined = ",\n".join(sheets)
        glasses.append(f'    {{"material": {json.dumps(glass["material"])}, "sheets": [\n{joined}\n    ]}}')
    joined = ",\n".join(glasses)
    head = f'  "laid_on": {json.dumps(plain["laid_on"])},\n  "fingerprint": {json.dumps(plain["fingerprint"])},\n'
    return f'{{\n{head}  "glasses": [\n{joined}\n  ]\n}}\n'
