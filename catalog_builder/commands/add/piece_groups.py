"""Pieces of a drawing in groups that are cut from one glass: by glass words, fills, layers or groups."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from catalog_builder.pattern.pieces import Piece
from catalog_builder.publish.pictures.glass.colour_word import colour_word
from catalog_builder.publish.pictures.glass.oklab import plain_colour

Reason: TypeAlias = Literal["words", "fills", "layers", "groups", "nothing"]
# The glass word of a drawing that tells no glasses apart, and of pieces that are left over where it does.
ONLY, REST = "glass", "rest"
MOST_IN_WORD = 40


@dataclass(frozen=True, slots=True)
class PieceGroup:
    """Pieces with one glass word; ``colour`` is the #rrggbb of their fill, None where they have none or several."""

    word: str
    colour: str | None
    pieces: tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class Grouping:
    """The groups of a drawing's pieces in the order of their first pieces, and what tells them apart."""

    reason: Reason
    groups: tuple[PieceGroup, ...]


def group_pieces(pieces: Sequence[Piece]) -> Grouping:
    """Group pieces by their own glass words; else by their fills, their layers, their groups, whichever differ first.

    Where nothing tells them apart, all are one group. A piece without a glass word has an empty one.
    """
    if any(piece.glass for piece in pieces):
        return Grouping("words", _grouped(pieces, lambda piece: piece.glass, lambda piece: piece.glass or REST))
    if len({_fill(piece) for piece in pieces}) > 1:
        return Grouping("fills", _grouped(pieces, _fill, _fill_word))
    for reason, layers_only in (("layers", True), ("groups", False)):
        depth = _first_difference(pieces, layers_only)
        if depth is not None:

            def name(piece: Piece, depth: int = depth, layers_only: bool = layers_only) -> str:
                return (*_names(piece, layers_only)[: depth + 1], "")[depth]

            return Grouping(reason, _grouped(pieces, name, lambda piece: word_of(name(piece)) or REST))  # type: ignore[arg-type]
    return Grouping("nothing", _grouped(pieces, lambda _: "", lambda _: ONLY))


def word_of(name: str) -> str:
    """Make a glass word of the name of a layer: lower case, letters and digits, hyphens between."""
    spaced = "".join(character if character.isalnum() else " " for character in name[:200].casefold())
    return "-".join(spaced.split())[:MOST_IN_WORD].strip("-")


def _grouped(
    pieces: Sequence[Piece], key: Callable[[Piece], Hashable], word: Callable[[Piece], str]
) -> tuple[PieceGroup, ...]:
    by_key: dict[Hashable, list[Piece]] = {}
    for piece in pieces:
        by_key.setdefault(key(piece), []).append(piece)
    groups: list[PieceGroup] = []
    taken: set[str] = set()
    for members in by_key.values():
        base, count = word(members[0]), 1
        while (own := base if count == 1 else f"{base}-{count}") in taken:
            count += 1
        taken.add(own)
        fills = {_fill(piece) for piece in members}
        groups.append(PieceGroup(own, fills.pop() if len(fills) == 1 else None, tuple(members)))
    return tuple(groups)


def _fill(piece: Piece) -> str | None:
    fill = piece.outline.fill if piece.outline is not None else None
    return plain_colour(fill) if fill is not None else None


def _fill_word(piece: Piece) -> str:
    fill = _fill(piece)
    return colour_word(fill) if fill is not None else REST


def _names(piece: Piece, layers_only: bool) -> tuple[str, ...]:
    groups = piece.outline.groups if piece.outline is not None else ()
    return tuple(group.name for group in groups if group.layer or not layers_only)


def _first_difference(pieces: Sequence[Piece], layers_only: bool) -> int | None:
    """Give the outermost level of groups at which pieces lie in different ones, None where there is none."""
    names = [_names(piece, layers_only) for piece in pieces]
    for depth in range(max(map(len, names), default=0)):
        if len({path[: depth + 1] for path in names}) > 1:
            return depth
    return None
