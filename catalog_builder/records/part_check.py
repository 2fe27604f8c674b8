"""What a record says of its parts, checked: how each is set, and what it sits on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from catalog_builder.mistake import Mistakes, listed, nearest
from catalog_builder.records.reading.header import KeyPath, nearest_line
from catalog_builder.records.reading.source import Source


class SetPart(Protocol):
    """The keys of a part that say how it is set."""

    @property
    def set_at(self) -> tuple[float, ...] | None:
        """Its angles about the join."""

    @property
    def inside_angle(self) -> float | None:
        """Its angle to the face that it sits on."""

    @property
    def on(self) -> str | None:
        """The part that it sits on."""

    @property
    def around(self) -> bool:
        """Whether it sits on every side."""


def check_parts(parts: Mapping[str, SetPart], source: Source, lines: Mapping[KeyPath, int], mistakes: Mistakes) -> None:
    """Find parts that are set in no way or in two, that sit on nothing, or on each other in a ring."""
    for name, part in parts.items():
        _check_angle(name, part, source, lines, mistakes)
        if part.on is None:
            continue
        place = source.place(nearest_line(("parts", name, "on"), lines.get))
        others = [other for other in parts if other != name]
        guess = nearest(part.on, others)
        if part.on not in parts:
            mistakes.add(
                place,
                wrong=f"the part {name!r} sits on {part.on!r}, which the record does not have",
                expected=f"another part of this record: {listed(others)}" if others else "a record with that part too",
                mend=f"did you mean {guess!r}?" if guess else "correct the name, or take `on` out",
                marked=part.on,
            )
        elif name in carriers(parts, name):
            mistakes.add(
                place,
                wrong=f"the part {name!r} sits on itself: {' on '.join((name, *carriers(parts, name)))}",
                expected="parts of which the first sits on the main drawing",
                mend="take `on` out of the part that sits on the main drawing",
                marked=part.on,
            )


def carriers(parts: Mapping[str, SetPart], name: str) -> tuple[str, ...]:
    """Give the parts that a part sits on, the nearest first; the main drawing, which has no name, is left out.

    They end where a part comes a second time.
    """
    row: list[str] = []
    on = parts[name].on
    while on is not None and on in parts and on not in row:
        row.append(on)
        on = parts[on].on
    return tuple(row)


def _check_angle(name: str, part: SetPart, source: Source, lines: Mapping[KeyPath, int], mistakes: Mistakes) -> None:
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
