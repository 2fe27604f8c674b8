"""A product's frame round the glass of its main drawing, and what a frame cannot go round."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import shapely
from shapely import Polygon

from catalog_builder.mistake import Mistake, MistakeError, Mistakes, Place
from catalog_builder.pattern.framing.frame import Frame, read_frame
from catalog_builder.pattern.pieces import Pattern
from catalog_builder.pattern.seams import Edges
from catalog_builder.records.material import Material
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product

# Stretches of the rim lie this near to the line that the frame follows.
_ON_RIM_MM = 0.1
# A wire may stand out of the rim by as much as its own half.
_OUT_MM = 1.0


def framed_by(product: Product, materials: Materials) -> Material | None:
    """Give the came or moulding round a product; None where it has no frame."""
    return materials.rows[product.keys.frame.material] if product.keys.frame is not None else None


def frame_of(product: Product, pattern: Pattern, material: Material) -> Frame:
    """Give the frame round a pattern.

    Raises:
        MistakeError: it falls into parts, a wire sticks out, the rim curves and the material does not bend, or the
            frame leaves no light.
    """
    frame = _read(product, pattern, material)
    mistakes = Mistakes((*_curves(product, pattern, material, frame), *_wires_out(product, pattern, frame)))
    if not isinstance(frame.light, Polygon) or frame.light.is_empty:
        mistakes.add(
            _place(product),
            wrong=f"the {material.kind} {material.material!r} covers {material.covers_mm:g} mm of the glass all round, "
            "which leaves no light in one piece",
            expected="a panel several times as wide as what its frame covers",
            mend="take a material with a shallower rebate, or make the panel larger",
        )
    mistakes.raise_if_any()
    return frame


def glass_widths(product: Product, pattern: Pattern, material: Material | None) -> dict[str, float]:
    """Give the width of the glass in each size of a record, by its name; a frame's share is taken off.

    ``pattern`` is the main drawing at any scale: what a frame adds to the width is the same at every size, as a rim
    keeps its angles.

    Raises:
        MistakeError: a frame leaves nothing of a width.
    """
    keys = product.keys
    given = {name: size.width for name, size in keys.sizes.items()} or ({"": keys.width} if keys.width else {})
    if material is None or keys.frame is None or keys.frame.sizes == "glass":
        return given or {"": pattern.width_mm}
    left, _, right, _ = _read(product, pattern, material).outside.bounds
    adds = float(right - left) - pattern.width_mm
    small = [(name, width) for name, width in given.items() if width - adds <= 2 * material.covers_mm]
    if small:
        name, width = small[0]
        raise MistakeError.at(
            product.source.place(product.line("sizes", name) if keys.sizes else product.line("width")),
            wrong=f"a width of {width:g} mm is that of the frame outside, and the {material.kind} "
            f"{material.material!r} takes {adds + 2 * material.covers_mm:.1f} mm of it",
            expected="a width several times as large as that",
            mend="give a larger width, or say `sizes: glass` under `frame:` if you mean the glass alone",
        )
    return {name: width - adds for name, width in given.items()} or {"": pattern.width_mm}


def _read(product: Product, pattern: Pattern, material: Material) -> Frame:
    frame = read_frame([piece.face for piece in pattern.pieces], material.outside_mm, material.covers_mm)
    if frame is None:
        raise MistakeError.at(
            _place(product),
            wrong="the frame has no single rim to go round: the drawing's pieces do not all hang together by seams",
            expected="a panel whose pieces meet along their edges",
            mend="draw the pieces up to each other, or take the frame out",
        )
    return frame


def without_framed_rim(edges: Edges, frame: Frame) -> Edges:
    """Give the edges without the rim that sits in a frame: it has foil, but no bead of its own."""
    middles = shapely.points(edges.rims.mean(axis=1))
    free = shapely.distance(frame.rim.exterior, middles) > _ON_RIM_MM
    return replace(edges, rims=edges.rims[free], rim_owners=edges.rim_owners[free])


def _place(product: Product) -> Place:
    return product.source.place(product.line("frame", "material"))


def _curves(product: Product, pattern: Pattern, material: Material, frame: Frame) -> Iterator[Mistake]:
    bend = next((bar.bends_at for bar in frame.bars if bar.bends_at is not None), None)
    if bend is None or material.bends:
        return
    x, y = (at / pattern.scale for at in bend)
    yield Mistake(
        place=_place(product),
        wrong=f"the rim is curved at x {x:.1f}, y {y:.1f} of the drawing, and the {material.kind} "
        f"{material.material!r} does not bend",
        expected="a straight rim from corner to corner, or a came that bends, as lead and thin brass do",
        mend="take such a came, or draw that edge straight; if yours does bend, write yes into the column `bends` "
        "of materials.csv",
        spot=(x, y),
    )


def _wires_out(product: Product, pattern: Pattern, frame: Frame) -> Iterator[Mistake]:
    around = frame.rim.buffer(_OUT_MM)
    for wire in pattern.wires:
        outside = shapely.get_coordinates(wire.line.difference(around))
        # An image across the fold can only be mended where it is drawn.
        if not len(outside) or not pattern.is_drawn(*outside.mean(axis=0).tolist()):
            continue
        x, y = (outside[0] / pattern.scale).tolist()
        yield Mistake(
            place=product.place_of(wire.row),
            wrong=f"the wire runs out of the glass at x {x:.1f}, y {y:.1f} of the drawing, where the frame sits",
            expected="wires that stay on the glass, where there is a frame",
            mend="end the wire at the rim, or take the frame out",
            spot=(x, y),
        )
