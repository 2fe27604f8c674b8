"""Which joins of the main drawing each part sits on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from catalog_builder.mistake import Mistake, MistakeError, Mistakes, listed, nearest, quoted
from catalog_builder.pattern.parts.join import Join
from catalog_builder.pattern.pieces import Pattern
from catalog_builder.pattern.sizes import Sized
from catalog_builder.records.product import Product

# A part's join and the one that it sits on may differ in length by this share, or by this many mm.
SAME_LENGTH = 0.02
SAME_LENGTH_MM = 0.5
MOST_COPIES = 60


@dataclass(frozen=True, slots=True, eq=False)
class Seat:
    """A part's own join and the joins of the main drawing that it is set on."""

    own: Join
    mains: tuple[Join, ...]


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
    own = [join for join in part.joins if not join.mirrored]
    mains = tuple(join for join in sized.pattern.joins if join.part in (None, name))
    record_place = product.source.place(product.line("parts", name))
    copies = len(product.keys.parts[name].set_at) * len(mains)
    pair = "one join in the part's drawing, and a join as long for it in the main one"
    if part.rings:
        raise MistakeError.at(
            product.place_of(part.rings[0].row, name),
            wrong=f"the part {name!r} has a ring",
            expected="rings in the main drawing alone",
            mend="move the ring to the main drawing; the whole hangs by that",
        )
    if copies > MOST_COPIES:
        raise MistakeError.at(
            record_place,
            wrong=f"{copies} copies of the part {name!r} are asked for",
            expected=f"at most {MOST_COPIES} copies of a part",
            mend="set it on fewer joins, or at fewer angles",
        )
    if len(own) != 1:
        raise MistakeError.at(
            product.place_of(own[1].row if own else None, name),
            wrong=f"the drawing of the part {name!r} has {f'{len(own)} joins' if own else 'no join'}",
            expected=pair,
            mend="keep one of them" if own else 'draw a line along the edge that is joined, with data-mark="join"',
        )
    if not mains:
        raise MistakeError.at(
            record_place,
            wrong=f"the main drawing has no join for the part {name!r}",
            expected=pair,
            mend=f'draw a line where it sits, with data-mark="join" and data-part="{name}"',
        )
    for main in mains:
        if abs(main.length_mm - own[0].length_mm) > max(SAME_LENGTH_MM, SAME_LENGTH * main.length_mm):
            size = f" in the size {sized.size}" if sized.size else ""
            raise MistakeError.at(
                product.place_of(own[0].row, name),
                wrong=f"the join of the part {name!r} is {own[0].length_mm:.1f} mm long{size}, "
                f"the one that it sits on {main.length_mm:.1f} mm ({product.place_of(main.row)})",
                expected="two joins of one length",
                mend="draw the part's edge as long as the line that it is joined to",
            )
    return Seat(own[0], mains)


def _stray_joins(product: Product, sized: Sized) -> Iterator[Mistake]:
    """Find joins of the main drawing that are for no part."""
    for join in sized.pattern.joins:
        if join.mirrored or (join.part in sized.parts if join.part else sized.parts):
            continue
        guess = nearest(join.part or "", sized.parts)
        yield Mistake(
            place=product.place_of(join.row),
            wrong=f"the join is for the part {quoted(join.part)}, which the record does not have"
            if join.part
            else "there is a join, and the record has no parts",
            expected=f"the name of a part of this record: {listed(sized.parts)}"
            if sized.parts
            else "parts under `parts:`, each with a drawing",
            mend=f"did you mean {guess!r}?" if guess else "add the part to the record, or take the mark out",
            marked=join.part,
        )
