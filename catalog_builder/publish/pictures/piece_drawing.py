"""A piece drawn as SVG: glass in its colours, solder lines in the finish, rings and wires."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from html import escape

from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.publish.pictures.frame_drawing import Metal, frame_marks
from catalog_builder.publish.pictures.glass.glass_paint import gradient
from catalog_builder.publish.pictures.glass.relief import relief
from catalog_builder.publish.pictures.projection import ProjectedPart, best_view, box_of
from catalog_builder.publish.pictures.support_drawing import support_box, support_marks
from catalog_builder.publish.pictures.svg_text import digits, path_of, path_of_area, path_of_line, view_box
from catalog_builder.records.material import Material

_PX_PER_MM = 6.0
# How much darker glass looks that is seen by its edge.
_SHADE = 0.3
# The shadow of a frame, which lets no light through.
_DARK = "#3a3d42"
_THREAD = "#8b8f8e"
_RING_STROKE_MM = 1.1
# Two legs of cord or chain are drawn to rise by this share of the span between their rings, so that the glass stays
# large; the drawing of how the piece hangs has them as they are.
_LEGS_RISE = 0.3


_METALS = {"black": Metal("#1f2226", "#6d747c"), "copper": Metal("#7a4a30", "#d79a6c")}
_BRIGHT = Metal("#868d94", "#e3e7ea")


def metal_of(finish: str) -> Metal:
    """Choose how solder looks by the words of a finish: black, copper, or bright for any other."""
    return next((metal for word, metal in _METALS.items() if word in finish.lower()), _BRIGHT)


def picture_svg(
    made_piece: MadePiece, suspension: Suspension, glass: Mapping[str, Material], metal: Metal, words: tuple[str, str]
) -> str:
    """Draw the piece alone, on nothing: the picture of a product that has no photo yet.

    ``words`` are its title and what keeps its names apart from those of others that stand in the same page.
    """
    title, identity = words
    left, top, right, bottom = _framed(made_piece, suspension)
    body = _threads(made_piece, suspension, top) + "".join(_marks(made_piece, suspension, glass, metal, identity))
    size = f'width="{digits((right - left) * _PX_PER_MM)}" height="{digits((bottom - top) * _PX_PER_MM)}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{view_box(left, top, right, bottom)}" {size}>'
        f"<title>{escape(title)}</title>{body}</svg>"
    )


def picture_size(made_piece: MadePiece, suspension: Suspension) -> tuple[int, int]:
    """Give the width and height in px at which ``picture_svg`` draws."""
    left, top, right, bottom = _framed(made_piece, suspension)
    return round((right - left) * _PX_PER_MM), round((bottom - top) * _PX_PER_MM)


def _framed(made_piece: MadePiece, suspension: Suspension) -> tuple[float, float, float, float]:
    """Frame the piece with its rings in the middle, as a page hangs the frame by a thread at the middle of its top."""
    left, top, right, bottom = box_of(best_view(made_piece, suspension).project(made_piece))
    rings = ring_places(made_piece, suspension)
    if suspension.stance is not None:
        under = support_box(suspension, best_view(made_piece, suspension))
        return min(left, under[0]) - 3, top - 2, max(right, under[2]) + 3, max(bottom, under[3]) + 3
    across = [x for x, _ in rings]
    middle = (min(across) + max(across)) / 2
    half = max(middle - left, right - middle) + 3
    topmost = min(y for _, y in rings) - suspension.ring_mm
    over = topmost - _LEGS_RISE * (max(across) - min(across)) if suspension.rise_mm is not None else topmost
    return middle - half, min(top - 2, over - _RING_STROKE_MM / 2), middle + half, bottom + 3


def ring_places(made_piece: MadePiece, suspension: Suspension) -> list[tuple[float, float]]:
    """Give where the rings are seen."""
    view = best_view(made_piece, suspension)
    return [view.point((*place, 0.0)) for place in suspension.rings]


def _threads(made_piece: MadePiece, suspension: Suspension, top: float) -> str:
    """Draw what goes from each ring up to the frame's top: to one point where cord or chain has two legs."""
    rings = ring_places(made_piece, suspension)
    if not rings:
        return ""
    middle = (rings[0][0] + rings[-1][0]) / 2
    lines = "".join(
        f"M{digits(x)} {digits(y - suspension.ring_mm)}"
        f"L{digits(x if suspension.rise_mm is None else middle)} {digits(top)}"
        for x, y in rings
    )
    return f'<path d="{lines}" fill="none" stroke="{_THREAD}" stroke-width="0.5"/>'


def scene_svg(
    made_piece: MadePiece, suspension: Suspension, glass: Mapping[str, Material], metal: Metal, title: str
) -> str:
    """Draw the piece as it hangs or stands before a bright wall, its coloured shadow behind it; a square picture."""
    view = best_view(made_piece, suspension)
    parts = view.project(made_piece)
    left, top, right, bottom = box_of(parts)
    side = 1.42 * max(right - left, bottom - top + 10)
    x, y = (left + right - side) / 2, (top + bottom - side) / 2 - 0.02 * side
    shade = side * 0.03
    body = "".join(_marks(made_piece, suspension, glass, metal, "p"))
    shadow = "".join(
        in_place(
            part,
            "".join(
                f'<path d="{path_of_area(piece.face, 0.3)}" fill="{glass[piece.glass].colour}"/>'
                for piece in part.flat.pattern.pieces
            )
            + (f'<path d="{path_of_area(part.flat.frame.face)}" fill="{_DARK}"/>' if part.flat.frame else ""),
        )
        for part in parts
    )
    rings = ring_places(made_piece, suspension)
    lines = "".join(
        f'<path d="M{digits(rx)} {digits(ry - suspension.ring_mm)}L{digits(top_x)} {digits(y)}" '
        f'stroke="{_THREAD}" stroke-width="{digits(side / 320)}" opacity="0.75"/>'
        for (rx, ry), top_x in zip(rings, _cord_tops(suspension, rings, left, right), strict=True)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{view_box(x, y, x + side, y + side)}" '
        f'width="1200" height="1200"><title>{escape(title)}</title>'
        '<defs><radialGradient id="wall" cx="0.42" cy="0.36" r="0.85">'
        '<stop offset="0" stop-color="#fffdf7"/><stop offset="0.55" stop-color="#f3efe6"/>'
        '<stop offset="1" stop-color="#dad6cc"/></radialGradient>'
        '<filter id="soft" x="-20%" y="-20%" width="140%" height="140%">'
        f'<feGaussianBlur stdDeviation="{digits(shade * 0.55)}"/></filter></defs>'
        f'<rect x="{digits(x)}" y="{digits(y)}" width="{digits(side)}" height="{digits(side)}" fill="url(#wall)"/>'
        f'<g transform="translate({digits(shade * 1.5)} {digits(shade * 1.9)})" filter="url(#soft)" opacity="0.42">'
        f'{shadow}</g><g fill="none">{lines}</g>{body}</svg>'
    )


def _cord_tops(suspension: Suspension, rings: list[tuple[float, float]], left: float, right: float) -> list[float]:
    """Rings hang straight down; two legs of cord or chain lean to a point above the middle."""
    if suspension.rise_mm is None:
        return [x for x, _ in rings]
    middle = (left + right) / 2
    lean = 0.35
    return [x + (middle - x) * lean for x, _ in rings]


def _marks(
    made_piece: MadePiece, suspension: Suspension, glass: Mapping[str, Material], metal: Metal, identity: str
) -> Iterator[str]:
    """Draw every flat, the farthest first, and the rings."""
    view = best_view(made_piece, suspension)
    names = {id(flat): f"{identity}-{flat.name}" if flat.name else identity for flat in made_piece.flats}
    yield "<defs>"
    for flat in made_piece.flats:
        for index, cut in enumerate(flat.cuts):
            yield gradient(f"{names[id(flat)]}-{index}", glass[cut.glass], cut, f"{cut.glass} {cut.number}")
        for name, path in beads(flat).items():
            yield f'<path id="{names[id(flat)]}-{name}" d="{path}"/>'
    yield "</defs>"
    yield support_marks(suspension, view, metal.body)
    for part in view.project(made_piece):
        yield in_place(
            part, "".join(_flat_marks(made_piece, part.flat, glass, metal, names[id(part.flat)])), shaded=True
        )
    radius = suspension.ring_mm / 2
    for x, y in ring_places(made_piece, suspension):
        yield (
            f'<circle cx="{digits(x)}" cy="{digits(y - radius)}" r="{digits(radius)}" fill="none" '
            f'stroke="{metal.body}" stroke-width="{_RING_STROKE_MM}"/>'
        )


def in_place(part: ProjectedPart, marks: str, shaded: bool = False) -> str:
    """Put a flat's marks where it is seen; what turns away from the viewer is darker."""
    if not part.transform:
        return marks
    dim = _SHADE * (1 - part.facing) if shaded else 0.0
    faces = "".join(path_of_area(piece.face) for piece in part.flat.pattern.pieces) if dim > 0.005 else ""
    shade = f'<path d="{faces}" fill="#0d1420" opacity="{digits(dim)}"/>' if faces else ""
    return f'<g transform="{part.transform}">{marks}{shade}</g>'


def _flat_marks(
    made_piece: MadePiece, flat: FlatPart, glass: Mapping[str, Material], metal: Metal, identity: str
) -> Iterator[str]:
    pieces = flat.pattern.pieces
    for index, piece in enumerate(pieces):
        yield f'<path d="{path_of_area(piece.face)}" fill="url(#{identity}-{index})"/>'
        yield relief(piece.face, glass[piece.glass])
    wires = "".join(path_of_line(wire.line) for wire in flat.pattern.wires)
    yield '<g fill="none" stroke-linecap="round" stroke-linejoin="round">'
    if wires:
        yield f'<path d="{wires}" stroke="{metal.body}" stroke-width="1.5"/>'
        yield f'<path d="{wires}" stroke="{metal.shine}" stroke-width="0.5" opacity="0.7"/>'
    widths = bead_widths(made_piece, flat)
    for name in beads(flat):
        line, width = f"{identity}-{name}", widths[name]
        yield f'<use href="#{line}" stroke="{metal.body}" stroke-width="{digits(width)}"/>'
        yield f'<use href="#{line}" stroke="{metal.shine}" stroke-width="{digits(width * 0.28)}" opacity="0.55"/>'
    yield "</g>"
    if flat.frame is not None and made_piece.frame is not None:
        yield frame_marks(flat.frame, made_piece.frame.material, metal)


def bead_widths(made_piece: MadePiece, flat: FlatPart) -> dict[str, float]:
    """Give how wide the solder of a flat's seams and rims is seen, in mm."""
    thickest = max(made_piece.glass[piece.glass].foiled_mm for piece in flat.pattern.pieces)
    foil = float(made_piece.foil.width_mm or 0) - thickest
    return {"seam": max(1.6, foil), "rim": max(1.8, foil + 0.4)}


def beads(flat: FlatPart) -> dict[str, str]:
    """Give the paths of a flat's seams, with those that join others on, and of its rims, where it has any."""
    paths = {"seam": path_of(flat.edges.seams) + path_of(flat.joined), "rim": path_of(flat.edges.rims)}
    return {name: path for name, path in paths.items() if path}
