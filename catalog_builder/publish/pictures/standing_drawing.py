"""How a piece stands, drawn: the ground, its feet, rod or clip, its sizes; for the bench its weight and how it tips.

The customer's drawing has its sizes alone.
"""

from __future__ import annotations

from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.piece.standing.stance import Stance
from catalog_builder.publish.pictures.hanging_drawing import HangingWords, centre_mark, flat_lines, hanging_svg
from catalog_builder.publish.pictures.projection import View
from catalog_builder.publish.pictures.sketch import Sketch
from catalog_builder.publish.pictures.support_drawing import path, support_lines
from catalog_builder.publish.pictures.svg_text import digits


def held_svg(
    made_piece: MadePiece, suspension: Suspension, words: HangingWords, identity: str, *, seams: bool = True
) -> str:
    """Draw a piece as it hangs, or as it stands; its seams only if asked."""
    draw = hanging_svg if suspension.stance is None else standing_svg
    return draw(made_piece, suspension, words, identity, seams=seams)


def standing_svg(
    made_piece: MadePiece, suspension: Suspension, words: HangingWords, identity: str, *, seams: bool = True
) -> str:
    """Draw a piece as it stands, from the front and, where it has depth, from the side; its seams only if asked.

    Raises:
        ValueError: it hangs.
    """
    stance = suspension.stance
    if stance is None:
        raise ValueError("it hangs")
    scale = max(stance.outer_mm)
    sketch = Sketch(text_mm=max(3.0, scale / 24), line_mm=scale / 480)
    _view(sketch, made_piece, (suspension, stance), words, front=True, seams=seams)
    if stance.footprint is not None:
        beside = Sketch(sketch.text_mm, sketch.line_mm)
        _view(beside, made_piece, (suspension, stance), words, front=False, seams=seams)
        shift = sketch.most[0] - beside.least[0] + 3 * sketch.text_mm
        corners = [(edge[0] + shift, edge[1]) for edge in (beside.least, beside.most)]
        sketch.put(f'<g transform="translate({digits(shift)} 0)">{"".join(beside.marks)}</g>', *corners)
    return sketch.svg(words.title, words.description, identity)


def _view(
    sketch: Sketch,
    made_piece: MadePiece,
    held: tuple[Suspension, Stance],
    words: HangingWords,
    *,
    front: bool,
    seams: bool,
) -> None:
    """Draw one view: the piece, what it stands on, the ground, and its sizes beside it."""
    suspension, stance = held
    view, size = View(yaw=0.0 if front else 90.0, down=stance.down), sketch.text_mm
    parts = view.project(made_piece)
    corners = [(x, y) for part in parts for x, y in part.corners.tolist()]
    sketch.put(f"<g>{''.join(flat_lines(part, sketch.line_mm, seams) for part in parts)}</g>", *corners)
    for places, wide in support_lines(suspension, view):
        half = wide / 2
        ends = [(x + off, y + off) for x, y in places for off in (-half, half)]
        sketch.put(
            f'<path d="{path(places)}" stroke-width="{digits(wide)}" stroke-linecap="square" opacity="0.45"/>', *ends
        )
        corners += ends
    xs, top = [x for x, _ in corners], min(y for _, y in corners)
    left, right = min(xs), max(xs)
    x, y = view.point((*suspension.body.centre, suspension.body.forward))
    ground = top + stance.height_mm
    sketch.line([(left - size, ground), (right + size, ground)], 1.6)
    if words.loads:
        sketch.line([(x, y), (x, ground + 0.5 * size)], 1.0, f"{digits(size)} {digits(size / 3)}")
        centre_mark(sketch, (x, y), 0.5 * size)
        if words.tilt and not front:
            sketch.text(words.tilt, (x + 0.8 * size, y - 0.4 * size))
    lowest = max(ground, *(y for _, y in corners))
    sketch.measure((left, lowest), (right, lowest), words.width if front else words.depth, 0.9 * size)
    if front:
        sketch.measure((right, top), (right, ground), words.height, 1.4 * size)
    if stance.footprint is not None:
        sketch.text(words.front if front else words.side, ((left + right) / 2, lowest + 4.2 * size), "middle")
