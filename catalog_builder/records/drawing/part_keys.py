"""Keys of a flat part that is joined on at an angle: how it is set, and what it sits on."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from catalog_builder.mistake import Mistakes, listed, suggestion
from catalog_builder.records.drawing.marks import Marks
from catalog_builder.records.reading.header import KeyPath, nearest_line
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.values import Line, Name, Record, as_written, refusal

Side = Literal["top", "right", "bottom", "left"]
# More copies than anybody solders round one line.
MOST_TURNS = 24


def _turn(value: Any) -> float:
    if isinstance(value, int | Decimal) and not isinstance(value, bool) and -360 <= value <= 360:
        return float(value)
    raise refusal(f"{as_written(value)} is not an angle", "degrees from -360 to 360", "write a number, such as 60")


def _turns(value: Any) -> Any:
    """Make one angle a list of one, and refuse a list that is empty or too long before its angles are read."""
    turns = value if isinstance(value, list) else [value]
    if not 1 <= len(turns) <= MOST_TURNS:
        raise refusal(
            f"{as_written(value) if not turns else f'{len(turns)} angles'} cannot be used here",
            f"an angle in degrees for each copy, up to {MOST_TURNS} of them, such as [90, 270]",
            "write an angle for each copy",
        )
    return turns


def _inside_angle(value: Any) -> float:
    if isinstance(value, int | Decimal) and not isinstance(value, bool) and 1 <= abs(float(value)) <= 180:
        return float(value)
    raise refusal(
        f"{as_written(value)} is not an angle between two faces",
        "degrees from 1 to 180, or from -180 to -1 for a part that comes out at the back",
        "write the angle inside the corner, such as 90 for a box",
    )


class PartKeys(Record):
    """A flat part that is joined on at an angle; its drawing is a block of svg that bears its name."""

    set_at: Annotated[tuple[Annotated[float, BeforeValidator(_turn)], ...], BeforeValidator(_turns)] | None = Field(
        None,
        description="for each copy the degrees that it is turned about the join: 0 lies flat to the right of it "
        "(below it, where it lies level), 90 stands out to the front, 180 lies flat to the left, 270 stands back",
    )
    inside_angle: Annotated[float, BeforeValidator(_inside_angle)] | None = Field(
        None,
        description="in place of `set_at`, the angle in degrees between the two faces, inside the corner: 90 is a box, "
        "180 flat; it comes out to the front, and below zero at the back. Its drawing is what is seen from outside",
    )
    sits_on: Name | None = Field(
        None,
        description="the part that it sits on, in place of the main drawing; an `inside_angle` counts inside the form "
        "that this part belongs to",
    )
    around: bool = Field(
        False,
        description="true: it sits on every straight side of that drawing that is as long as its join, which needs no "
        "join of its own there; with `inside_angle`",
    )
    open_sides: tuple[Side, ...] = Field(
        (),
        description="sides of its drawing that are meant to meet nothing: top, right, bottom, left; a finding names "
        "others that do",
    )
    pattern: Line | None = Field(None, description="an SVG file beside the record, in place of a block of svg")
    marks: Marks = Field(Marks.model_validate({}), description="marks, in place of those in its drawing")


def check_parts(
    parts: Mapping[str, PartKeys], source: Source, lines: Mapping[KeyPath, int], mistakes: Mistakes
) -> None:
    """Find parts that are set in no way or in two, that sit on nothing, or on each other in a ring."""
    for name, part in parts.items():
        _check_angle(name, part, source, lines, mistakes)
        if part.sits_on is None:
            continue
        place = source.place(nearest_line(("parts", name, "sits_on"), lines.get))
        others = [other for other in parts if other != name]
        if part.sits_on not in parts:
            mistakes.add(
                place,
                wrong=f"the part {name!r} sits on {part.sits_on!r}, which the record does not have",
                expected=f"another part of this record: {listed(others)}" if others else "a record with that part too",
                mend=suggestion(part.sits_on, others, "correct the name, or take `sits_on` out"),
                marked=part.sits_on,
            )
        elif name in carriers(parts, name):
            mistakes.add(
                place,
                wrong=f"the part {name!r} sits on itself: {' on '.join((name, *carriers(parts, name)))}",
                expected="parts of which the first sits on the main drawing",
                mend="take `sits_on` out of the part that sits on the main drawing",
                marked=part.sits_on,
            )


def carriers(parts: Mapping[str, PartKeys], name: str) -> tuple[str, ...]:
    """Give the parts that a part sits on, the nearest first; the main drawing, which has no name, is left out.

    They end where a part comes a second time.
    """
    row: list[str] = []
    on = parts[name].sits_on
    while on is not None and on in parts and on not in row:
        row.append(on)
        on = parts[on].sits_on
    return tuple(row)


def _check_angle(name: str, part: PartKeys, source: Source, lines: Mapping[KeyPath, int], mistakes: Mistakes) -> None:
    place = source.place(nearest_line(("parts", name), lines.get))
    angle = "`set_at` with the degrees about the join, or `inside_angle` with the degrees between the two faces"
    if part.set_at is None and part.inside_angle is None:
        mistakes.add(
            place,
            wrong=f"nothing says at which angle the part {name!r} stands",
            expected=angle,
            mend="add `set_at: [90]`, or `inside_angle: 90` for the side of a box",
        )
    elif part.set_at is not None and part.inside_angle is not None:
        mistakes.add(
            place,
            wrong=f"the part {name!r} has both `set_at` and `inside_angle`",
            expected=f"only one of them: {angle}",
            mend="take one of them out",
        )
    elif part.around and part.inside_angle is None:
        mistakes.add(
            source.place(nearest_line(("parts", name, "around"), lines.get)),
            wrong=f"the part {name!r} is set around, and its angle counts about a single join",
            expected="`around: true` with `inside_angle`, which is the same at every side",
            mend="write `inside_angle: 90` for the sides of a box, in place of `set_at`",
            marked="around",
        )
