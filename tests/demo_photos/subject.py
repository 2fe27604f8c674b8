"""A subject: one variant of a demo product, measured and hung by the project's own stages."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import shapely
from shapely import Geometry

from catalog_builder.pattern.measured import measure
from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.piece.hanging.suspension import Suspension, hang_piece
from catalog_builder.piece.made_piece import MadePiece, make_piece
from catalog_builder.records.content import Content
from catalog_builder.records.material import Material
from catalog_builder.units import awg_diameter_mm


@dataclass(frozen=True, slots=True)
class Subject:
    """What stands before the camera. ``wires`` are (line, radius in mm); everything is mm with y downwards."""

    slug: str
    finish: str
    made: MadePiece
    suspension: Suspension
    glass: Mapping[str, Material]
    wires: tuple[tuple[Geometry, float], ...]
    outline: Geometry

    @property
    def thickness_mm(self) -> float:
        """The thickness of its thickest glass."""
        return max(float(material.thickness_mm or 3) for material in self.glass.values())

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of glass and wires."""
        parts = [self.outline, *(line for line, _ in self.wires)]
        left, top, right, bottom = shapely.total_bounds(parts).tolist()
        return left, top, right, bottom


def read_subject(content: Content, slug: str, size: str, finish: str, choice: str) -> Subject:
    """Take one variant of a product through the stages from drawing to hanging.

    Raises:
        StopIteration: there is no such product or size.
    """
    product = next(one for one in content.products if one.slug == slug)
    making, rows = content.studio.making, content.materials.rows
    sized = next(one for one in read_sizes(product, making, content.materials) if one.size in ("", size))
    glass = product.keys.glass[choice]
    made = make_piece(product, glass, measure(product, sized, making), content.materials, making)
    suspension = hang_piece(made, product, content.materials, content.day, making, content.studio.hanging)
    wires = tuple((wire.line, _radius(rows[wire.material or making.wire])) for wire in made.main.pattern.wires)
    outline = shapely.union_all([piece.face for piece in made.main.pattern.pieces])
    return Subject(slug, finish, made, suspension, content.glass(glass), wires, outline)


def _radius(wire: Material) -> float:
    if wire.gauge_awg is not None:
        return float(awg_diameter_mm(wire.gauge_awg)) / 2
    return float(wire.diameter_mm or 1) / 2
