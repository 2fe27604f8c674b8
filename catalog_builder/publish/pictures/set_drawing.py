"""The pieces of a set drawn side by side, all at one scale, for a set that has no photo yet."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from html import escape

from catalog_builder.cache.store import Store, key_of
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.publish.pictures.album import Shot
from catalog_builder.publish.pictures.gallery import Pictures
from catalog_builder.publish.pictures.glass.glass_strips import STRIPS_SIZE, areas_of, strips_svg
from catalog_builder.publish.pictures.piece_drawing import metal_of, picture_size, picture_svg
from catalog_builder.publish.pictures.raster import pixels_of
from catalog_builder.records.material import Material

# Between two pieces, in px of the drawing.
GAP = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPiece:
    """What a piece of a set is drawn from; ``key`` is that of all that its pattern and hanging follow from.

    ``shown`` says whether the public sees its pattern.
    """

    made_piece: MadePiece
    suspension: Suspension
    glass: Mapping[str, Material]
    finish: str
    key: str
    shown: bool = True

    @property
    def size(self) -> tuple[int, int]:
        """Its width and height in px."""
        return picture_size(self.made_piece, self.suspension)


def draw_set(slug: str, title: str, pieces: Sequence[SetPiece], shots: Sequence[Shot], store: Store) -> Pictures:
    """Give the pictures of a set; no pattern and no drawing of how it hangs, as each of its pieces has its own.

    Where the pattern of one of its pieces is not to be seen, none of them is.
    """
    shown = all(piece.shown for piece in pieces)
    colours = [(name, material.colour) for piece in pieces for name, material in piece.glass.items()]
    key = key_of("set", slug, title, [(piece.key, piece.finish) for piece in pieces], colours, shown)
    for name in ("drawn", "preview"):
        store.use(name, key)
    sizes = json.loads(store.kept("facts", key, lambda: json.dumps([piece.size for piece in pieces]).encode()))
    drawn_size = sum(width for width, _ in sizes) + GAP * (len(sizes) - 1), max(height for _, height in sizes)
    return Pictures(
        shots=tuple(shots),
        drawn_size=drawn_size if shown else STRIPS_SIZE,
        colour=next((colour for _, colour in colours if colour), "#cccccc"),
        key=key,
        read_drawing=partial(_read_drawing, slug, title, pieces, key, store),
        shown=shown,
    )


def _read_drawing(slug: str, title: str, pieces: Sequence[SetPiece], key: str, store: Store, name: str) -> bytes:
    if name in ("drawn", "preview") and not all(piece.shown for piece in pieces):
        strips = _strips(title, pieces)
        return store.kept(name, key, lambda: strips.encode() if name == "drawn" else pixels_of(strips))
    if name == "drawn":
        return store.kept(name, key, lambda: _side_by_side(slug, title, pieces).encode())
    if name == "preview":
        return store.kept(name, key, lambda: pixels_of(_on_wall(_side_by_side(slug, title, pieces), pieces)))
    return b""


def _strips(title: str, pieces: Sequence[SetPiece]) -> str:
    areas: Counter[str] = Counter()
    for piece in pieces:
        areas.update(areas_of(piece.made_piece, piece.glass))
    return strips_svg(areas, title)


def _side_by_side(slug: str, title: str, pieces: Sequence[SetPiece]) -> str:
    """Hang the pieces from one line, from the left to the right; what stands stands on the lower edge."""
    parts, left, hung = list[str](), 0, list[int]()
    height = max(piece.size[1] for piece in pieces)
    for number, piece in enumerate(pieces):
        words = title, f"{slug}-{number + 1}"
        drawn = picture_svg(piece.made_piece, piece.suspension, piece.glass, metal_of(piece.finish), words)
        top = 0
        if piece.suspension.stance is None:
            hung.append(left + piece.size[0] // 2)
        else:
            top = height - piece.size[1]
        placed = drawn.replace("<svg ", f'<svg x="{left}" y="{top}" ', 1)
        parts.append(placed.replace(f"<title>{escape(title)}</title>", ""))
        left += piece.size[0] + GAP
    width = left - GAP
    if hung:
        # The page hangs the picture by its middle: a rod along the top holds the threads of the pieces.
        ends = min(hung[0], width // 2), max(hung[-1], width // 2)
        parts.append(f'<path d="M{ends[0]} 2H{ends[1]}" fill="none" stroke="#8b8f8e" stroke-width="4"/>')
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}">'
        f"<title>{escape(title)}</title>{''.join(parts)}</svg>"
    )


def _on_wall(drawn: str, pieces: Sequence[SetPiece]) -> str:
    """Put the drawing into the middle of a pale square, for those who show only pixels."""
    width = sum(piece.size[0] for piece in pieces) + GAP * (len(pieces) - 1)
    height = max(piece.size[1] for piece in pieces)
    side = round(max(width, height) * 1.15)
    placed = drawn.replace("<svg ", f'<svg x="{(side - width) // 2}" y="{(side - height) // 2}" ', 1)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}" width="{side}" height="{side}">'
        f'<rect width="{side}" height="{side}" fill="#eef1f1"/>{placed}</svg>'
    )
