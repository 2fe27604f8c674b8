"""A piece drawn so that a page can recolour and resize it as a buyer chooses, true to scale beside a hand or a coin.

The page sets custom properties of CSS, which ``look`` writes: ``--g0`` and so on for its glass, ``--body`` and
``--shine`` for its solder, ``--scale`` for its size against the one that is drawn. Lengths are mm.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.publish.pictures.frame_drawing import Metal, frame_marks
from catalog_builder.publish.pictures.piece_drawing import bead_widths, beads, in_place, metal_of, ring_places
from catalog_builder.publish.pictures.projection import ProjectedPart, best_view, box_of
from catalog_builder.publish.pictures.support_drawing import support_box, support_marks
from catalog_builder.publish.pictures.svg_text import digits, path_of_area, path_of_line, view_box
from catalog_builder.records.material import Material

Beside = Literal["hand", "coin"]
# A hand as long as about half of all grown men's are (from memory), and a plain coin.
LENGTH_MM: Mapping[Beside, float] = {"hand": 190.0, "coin": 25.0}
_HAND_WIDE_MM = 104.0
# Pieces up to this height are shown beside a coin: beside a hand they would be too small to be seen.
_SMALL_MM = 130.0
_GAP_MM = 9.0
_THREAD_MM = 14.0


@dataclass(frozen=True, slots=True)
class Room:
    """What the drawing must have room for: the largest size over the drawn one, and its height with its hook."""

    most: float
    tallest_mm: float

    @property
    def beside(self) -> Beside:
        """What stands beside the piece."""
        return beside(self.tallest_mm)


def beside(tallest_mm: float) -> Beside:
    """Choose what shows the scale of a piece whose largest size is so high."""
    return "coin" if tallest_mm <= _SMALL_MM else "hand"


def look(words: Sequence[str], glass: Mapping[str, Material], finish: str, scale: float) -> str:
    """Give the custom properties that show a variant; ``words`` are the pattern's glass words in their order."""
    metal = metal_of(finish)
    colours = "".join(f"--g{place}:{glass[word].colour or '#cccccc'};" for place, word in enumerate(words))
    return f"{colours}--body:{metal.body};--shine:{metal.shine};--scale:{digits(scale, 4)}"


def choice_svg(made_piece: MadePiece, suspension: Suspension, words: Sequence[str], room: Room, identity: str) -> str:
    """Draw a piece with its colours left open; ``identity`` keeps its names apart from others on the page.

    It has no words of its own: who shows it says what it is.
    """
    view = best_view(made_piece, suspension)
    parts, under = view.project(made_piece), support_box(suspension, view)
    left, top, right, bottom = box_of(parts)
    left, right, bottom = min(left, under[0]), max(right, under[2]), max(bottom, under[3])
    rings, ring_mm = ring_places(made_piece, suspension), suspension.ring_mm or 6.0
    top = min([top, *(y - ring_mm for _, y in rings)])
    wide, high = (right - left) * room.most, (bottom - top) * room.most + _THREAD_MM
    beside_wide = _HAND_WIDE_MM if room.beside == "hand" else LENGTH_MM["coin"]
    whole = max(high, LENGTH_MM[room.beside]) + 2
    threads = "".join(f"M{digits(x)} {digits(y - ring_mm)}V{digits(top - 4000)}" for x, y in rings)
    body = "".join(
        [
            f'<path d="{threads}" fill="none" stroke="#8b8f8e" stroke-width=".5"/>',
            support_marks(suspension, view, "var(--body)"),
            *(in_place(part, "".join(_flat(made_piece, part, words, identity)), shaded=True) for part in parts),
            *(
                f'<circle cx="{digits(x)}" cy="{digits(y - ring_mm / 2)}" r="{digits(ring_mm / 2)}" fill="none" '
                'style="stroke:var(--body)" stroke-width="1.1"/>'
                for x, y in rings
            ),
        ]
    )
    # The middle of its foot stays where it is when the size changes.
    foot = f"translate({digits(wide / 2 + 2)}px,{digits(whole)}px)"
    middle = f"translate({digits(-(left + right) / 2)} {digits(-bottom)})"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" id="{identity}" class="choice-drawing" aria-hidden="true" '
        f'focusable="false" '
        f'viewBox="{view_box(0, 0, wide + _GAP_MM + beside_wide + 4, whole + 2)}">'
        f"<defs>{_sheens(identity)}{''.join(_shapes(made_piece, words, identity))}</defs>"
        f'<g transform="translate({digits(wide + _GAP_MM + 2)} {digits(whole)})">{_companion(room.beside)}</g>'
        f'<g style="transform:{foot} scale(var(--scale))"><g transform="{middle}">{body}</g></g></svg>'
    )


def _shapes(made_piece: MadePiece, words: Sequence[str], identity: str) -> Iterator[str]:
    """Give each flat's pieces of a glass as one path, and its seams and rims: what is drawn several times over."""
    for number, flat in enumerate(made_piece.flats):
        for place, word in enumerate(words):
            paths = "".join(path_of_area(piece.face) for piece in flat.pattern.pieces if piece.glass == word)
            if paths:
                yield f'<path id="{identity}-{number}g{place}" d="{paths}"/>'
        for name, path in beads(flat).items():
            yield f'<path id="{identity}-{number}{name}" d="{path}"/>'


def _flat(made_piece: MadePiece, part: ProjectedPart, words: Sequence[str], identity: str) -> Iterator[str]:
    """Draw a flat: its glass, the light on it, and its solder."""
    flat = part.flat
    number = next(number for number, each in enumerate(made_piece.flats) if each.name == flat.name)
    there = {piece.glass for piece in flat.pattern.pieces}
    for place, word in enumerate(words):
        if word in there:
            shape = f"{identity}-{number}g{place}"
            yield f'<use href="#{shape}" style="fill:var(--g{place})"/>'
            yield f'<use href="#{shape}" fill="url(#{identity}-{place % 3})"/>'
    yield '<g fill="none" stroke-linecap="round" stroke-linejoin="round">'
    for wire in flat.pattern.wires:
        yield f'<path d="{path_of_line(wire.line)}" style="stroke:var(--body)" stroke-width="1.5"/>'
    widths = bead_widths(made_piece, flat)
    for name in beads(flat):
        line = f"{identity}-{number}{name}"
        yield f'<use href="#{line}" style="stroke:var(--body)" stroke-width="{digits(widths[name])}"/>'
        shine = digits(widths[name] * 0.28)
        yield f'<use href="#{line}" style="stroke:var(--shine)" stroke-width="{shine}" opacity=".55"/>'
    yield "</g>"
    if flat.frame is not None and made_piece.frame is not None:
        yield frame_marks(flat.frame, made_piece.frame.material, Metal("var(--body)", "var(--shine)"))


def _sheens(identity: str) -> str:
    """Give three lights that lie on glass of any colour."""
    ends = ('x2="34" y2="22"', 'x2="-18" y2="30"', 'x2="8" y2="40"')
    stops = (
        '<stop offset="0" stop-color="#fff" stop-opacity=".34"/>'
        '<stop offset=".45" stop-color="#fff" stop-opacity=".05"/>'
        '<stop offset="1" stop-color="#000" stop-opacity=".16"/>'
    )
    return "".join(
        f'<linearGradient id="{identity}-{place}" gradientUnits="userSpaceOnUse" spreadMethod="reflect" '
        f'x1="0" y1="0" {end}>{stops}</linearGradient>'
        for place, end in enumerate(ends)
    )


def _companion(kind: Beside) -> str:
    """Draw what stands beside the piece; its foot is at y = 0, its left side at x = 0."""
    if kind == "coin":
        radius = LENGTH_MM["coin"] / 2
        circles = "".join(
            f'<circle cx="{digits(radius)}" cy="{digits(-radius)}" r="{digits(r)}" {paint}/>'
            for r, paint in (
                (radius, 'fill="currentColor" opacity=".3"'),
                (radius - 2, 'fill="none" stroke="currentColor" stroke-width=".8" opacity=".5"'),
            )
        )
        return f'<g class="beside">{circles}</g>'
    # Four fingers and a thumb as round strokes, from the palm to their tips; the middle finger's tip is at 190 mm.
    fingers = ((34, -95, 30, -160, 17), (52, -98, 51, -181, 18), (70, -96, 72, -168, 17), (86, -90, 93, -136, 15))
    strokes = "".join(
        f'<path d="M{x} {y}L{tip_x} {tip_y}" stroke-width="{width}"/>' for x, y, tip_x, tip_y, width in fingers
    )
    return (
        '<g class="beside" opacity=".3" fill="none" stroke="currentColor" stroke-linecap="round">'
        f'{strokes}<path d="M42 -32C28 -48 18 -62 12 -92" stroke-width="20"/>'
        '<path d="M28 -95C29 -60 36 -40 42 0H80C84 -34 92 -60 92 -92Z" fill="currentColor" stroke-width="4" '
        'stroke-linejoin="round"/></g>'
    )
