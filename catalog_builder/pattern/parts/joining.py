"""Which joins of the main drawing each part sits on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from catalog_builder.mistake import Mistake, MistakeError, listed, nearest, quoted
from catalog_builder.pattern.parts.join import Join
from catalog_builder.pattern.sizes import Sized
from catalog_builder.records.product import Product

# Two joins that are to be one may differ by this much: a share, and mm.
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
    mistakes = [*_stray_joins(product, sized)]
    seats: dict[str, Seat] = {}
    for name, part in sized.parts.items():
        own = [join for join in part.joins if not join.mirrored]
        mains = tuple(join for join in sized.pattern.joins if join.part in (None, name))
        copies = len(product.keys.parts[name].set_at) * len(mains)
        told = _unjoined(product, name, own, mains) or _misfits(product, sized, name, own[0], mains)
        if copies > MOST_COPIES:
            wrong = f"{copies} copies of the part {name!r} are asked for"
            told = _refused(product, name, wrong, "set it on fewer joins, or at fewer angles")
        if part.rings:
            row, wrong = part.rings[0].row, f"the part {name!r} has a ring"
            mend = "move the ring to the main drawing; the whole hangs by that"
            expected = "rings in the main drawing alone"
            told = Mistake(place=product.place_of(row, name), wrong=wrong, expected=expected, mend=mend)
        if told is not None:
            mistakes.append(told)
        else:
            seats[name] = Seat(own[0], mains)
    if mistakes:
        raise MistakeError(mistakes)
    return seats


def _refused(product: Product, name: str, wrong: str, mend: str) -> Mistake:
    expected = f"at most {MOST_COPIES} copies of a part"
    place = product.source.place(product.line("parts", name))
    return Mistake(place=place, wrong=wrong, expected=expected, mend=mend)


def _stray_joins(product: Product, sized: Sized) -> Iterator[Mistake]:
    """Tell joins of the main drawing that are for no part."""
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


def _unjoined(product: Product, name: str, own: Sequence[Join], mains: Sequence[Join]) -> Mistake | None:
    """Say what a part lacks to be joined on."""
    expected = "one join in the part's drawing, and a join as long for it in the main one"
    if len(own) != 1:
        wrong = f"the drawing of the part {name!r} has {'no join' if not own else f'{len(own)} joins'}"
        mend = 'draw a line along the edge that is joined, with data-mark="join"' if not own else "keep one of them"
        row = own[1].row if own else None
        return Mistake(place=product.place_of(row, name), wrong=wrong, expected=expected, mend=mend)
    if not mains:
        wrong = f"the main drawing has no join for the part {name!r}"
        mend = f'draw a line where it sits, with data-mark="join" and data-part="{name}"'
        place = product.source.place(product.line("parts", name))
        return Mistake(place=place, wrong=wrong, expected=expected, mend=mend)
    return None


def _misfits(product: Product, sized: Sized, name: str, own: Join, mains: Sequence[Join]) -> Mistake | None:
    """Say which join of the main drawing is not as long as the part's own."""
    for main in mains:
        if abs(main.length_mm - own.length_mm) > max(SAME_LENGTH_MM, SAME_LENGTH * main.length_mm):
            size = f" in the size {sized.size}" if sized.size else ""
            return Mistake(
                place=product.place_of(own.row, name),
                wrong=f"the join of the part {name!r} is {own.length_mm:.1f} mm long{size}, "
                f"the one that it sits on {main.length_mm:.1f} mm ({product.place_of(main.row)})",
                expected="two joins of one length",
                mend="draw the part's edge as long as the line that it is joined to",
            )
    return None
