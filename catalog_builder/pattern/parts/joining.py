"""Which lines of the main drawing, or of another part, each part sits on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from catalog_builder.mistake import Mistake, MistakeError, Mistakes, listed, quoted, suggestion
from catalog_builder.pattern.parts.intervals import join_spans
from catalog_builder.pattern.parts.join import Join
from catalog_builder.pattern.parts.sides import as_long_as, straight_sides
from catalog_builder.pattern.pieces import Pattern
from catalog_builder.pattern.sizes import Sized
from catalog_builder.records.product import Product

# A part's join and the one that it sits on may differ in length by this share, or by this many mm.
SAME_LENGTH = 0.02
SAME_LENGTH_MM = 0.5
# A join lies on an edge that it follows this closely.
SEAT_MM = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Seat:
    """A part's own join, and the joins or sides of what it sits on; ``on`` is empty for the main drawing."""

    own: Join
    mains: tuple[Join, ...]
    on: str = ""


def read_seats(product: Product, sized: Sized) -> dict[str, Seat]:
    """Find each part's joins.

    Raises:
        MistakeError: a part has no join or several, the main drawing has none for it, or their lengths differ.
    """
    mistakes = Mistakes(_stray_joins(product, sized))
    seats: dict[str, Seat] = {}
    for name, part in sized.parts.items():
        with mistakes.collect():
            seats[name] = _read_seat(product, sized, name, part)
    mistakes.raise_if_any()
    return seats


def _read_seat(product: Product, sized: Sized, name: str, part: Pattern) -> Seat:
    """Find the joins of one part.

    Raises:
        MistakeError: with what the part lacks to be joined on.
    """
    keys = product.keys.parts[name]
    own = [join for join in part.joins if not join.mirrored and join.part in (None, name)]
    record_place = product.source.place(product.line("parts", name))
    pair = "one join in the part's drawing, and a join as long for it in the main one"
    if part.rings:
        raise MistakeError.at(
            product.place_of(part.rings[0].row, name),
            wrong=f"the part {name!r} has a ring",
            expected="rings in the main drawing alone",
            mend="move the ring to the main drawing; the whole hangs by that",
        )
    if len(own) != 1:
        raise MistakeError.at(
            product.place_of(own[1].row if own else None, name),
            wrong=f"the drawing of the part {name!r} has {f'{len(own)} joins' if own else 'no join'}",
            expected=pair,
            mend="keep one of them" if own else 'draw a line along the edge that is joined, with data-mark="join"',
        )
    on = keys.sits_on or ""
    carrier = sized.patterns[on]
    drawn = tuple(join for join in carrier.joins if join.part == name or (join.part is None and not on))
    if keys.around:
        return Seat(own[0], _sides_for(product, sized, name, own[0]), on)
    if not drawn:
        raise MistakeError.at(
            record_place,
            wrong=f"the drawing of the part {on!r} has no join for the part {name!r}"
            if on
            else f"the main drawing has no join for the part {name!r}",
            expected=pair.replace("the main one", f"that of {on!r}") if on else pair,
            mend=f'draw a line where it sits, with data-mark="join" and data-part="{name}"',
        )
    for main in drawn:
        if abs(main.length_mm - own[0].length_mm) > max(SAME_LENGTH_MM, SAME_LENGTH * main.length_mm):
            size = f" in the size {sized.size}" if sized.size else ""
            raise MistakeError.at(
                product.place_of(own[0].row, name),
                wrong=f"the join of the part {name!r} is {own[0].length_mm:.1f} mm long{size}, "
                f"the one that it sits on {main.length_mm:.1f} mm ({product.place_of(main.row, on)})",
                expected="two joins of one length",
                mend="draw the part's edge as long as the line that it is joined to",
            )
    return Seat(own[0], drawn, on)


def _sides_for(product: Product, sized: Sized, name: str, own: Join) -> tuple[Join, ...]:
    """Give the sides that a part is set around.

    Raises:
        MistakeError: no side is as long as the part's join, or there are joins for the part as well.
    """
    on = product.keys.parts[name].sits_on or ""
    carrier = sized.patterns[on]
    for join in carrier.joins:
        if join.part == name:
            raise MistakeError.at(
                product.place_of(join.row, on),
                wrong=f"there is a join for the part {name!r}, which is set around and sits on every side",
                expected="either `around: true` or joins",
                mend="take the join out of the drawing, or `around` out of the record",
            )
    # A part does not sit where its carrier is itself joined on.
    taken = [join for join in carrier.standing_joins if on and join.part in (None, on)]
    sides = tuple(side for side in straight_sides(carrier) if not any(_lies_on(side, join) for join in taken))
    fitting = as_long_as(sides, own.length_mm)
    if not fitting:
        lengths = sorted({f"{side.length_mm:.1f} mm" for side in sides if side.length_mm > own.length_mm / 4})
        size = f" in the size {sized.size}" if sized.size else ""
        what = f"the part {on!r}" if on else "the main drawing"
        raise MistakeError.at(
            product.place_of(own.row, name),
            wrong=f"the join of the part {name!r} is {own.length_mm:.1f} mm long{size}, and no straight side of "
            f"{what} is as long",
            expected=f"a join as long as a side of {what}: {listed(lengths)}"
            if lengths
            else f"straight sides in the outline of {what}",
            mend="draw the part's edge as long as the side that it is joined to",
        )
    return fitting


def _lies_on(side: Join, join: Join) -> bool:
    return bool(join_spans(side.points[None], join, SEAT_MM))


def _stray_joins(product: Product, sized: Sized) -> Iterator[Mistake]:
    """Find joins that are for no part, or for one that sits elsewhere."""
    for name, pattern in sized.patterns.items():
        seated = [part for part in sized.parts if (product.keys.parts[part].sits_on or "") == name]
        for join in pattern.joins:
            # In a part's drawing a join without a name, or with its own, is the line that it is joined on by.
            if join.mirrored or (join.part in (*seated, name) if join.part else seated or name):
                continue
            yield _stray(product, name, join, seated, sized)


def _stray(product: Product, name: str, join: Join, seated: list[str], sized: Sized) -> Mistake:
    place = product.place_of(join.row, name)
    if join.part in sized.parts:
        where = f"`sits_on: {name}`" if name else "no `sits_on`"
        return Mistake(
            place=place,
            wrong=f"the join is for the part {join.part!r}, which sits elsewhere by the record",
            expected=f"{where} at the part {join.part!r}, or no join for it here",
            mend=f"write {where} there" if name else "take `sits_on` out there, or the mark out here",
            marked=join.part,
        )
    return Mistake(
        place=place,
        wrong=f"the join is for the part {quoted(join.part)}, which the record does not have"
        if join.part
        else "there is a join, and the record has no parts",
        expected=f"the name of a part of this record: {listed(sized.parts)}"
        if sized.parts
        else "parts under `parts:`, each with a drawing",
        mend=suggestion(join.part or "", seated or sized.parts, "add the part to the record, or take the mark out"),
        marked=join.part,
    )
