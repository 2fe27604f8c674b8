"""A subject: one variant of a demo product, measured and hung by the project's own stages."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import shapely
from shapely import Geometry

from catalog_builder.cache.store import Store
from catalog_builder.pattern.parts.flat_part import FlatPart, space_box
from catalog_builder.pattern.parts.placing import Placing
from catalog_builder.piece.assembly import Assembler
from catalog_builder.records.content import Content
from catalog_builder.records.material import Material
from catalog_builder.records.product import Product
from catalog_builder.records.variant import Variant
from tests.demo_photos.holding import Border, Held, border_of, held_of
from tests.demo_photos.mesh import Floats

UPWARDS = np.diag([1.0, -1.0, 1.0])


@dataclass(frozen=True, slots=True)
class Subject:
    """What stands before the camera, all in mm, y downwards: its flats with the places of their copies, main one first.

    ``foil_mm`` is the width of its foil, ``wire_mm`` the thickness of each wire by the name that a drawing gives it.
    """

    slug: str
    finish: str
    flats: tuple[FlatPart, ...]
    glass: Mapping[str, Material]
    foil_mm: float
    wire_mm: Mapping[str, float]
    held: Held
    border: Border | None = None

    @property
    def thickness_mm(self) -> float:
        """How thick its thickest glass is where the foil wraps it."""
        return max(material.foiled_mm or 3.0 for material in self.glass.values())

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of glass, wires and frame, from the front."""
        (left, top, _), (right, bottom, _) = space_box(self.flats).tolist()
        framed = self.flats[0].frame is not None
        out = self.border.wide_mm - self.border.covers_mm if self.border is not None and not framed else 0.0
        return left - out, top - out, right + out, bottom + out

    @property
    def corners(self) -> Floats:
        """Every corner of glass, wires and frame in space, y upwards; shape (n, 3)."""
        return np.concatenate([place.points(flat.corners) for flat in self.flats for place in flat.places]) @ UPWARDS

    @property
    def seed(self) -> int:
        """A number of its own, by which chance gives it the same glass and solder every time."""
        return sum(self.slug.encode())


def wires_of(subject: Subject, flat: FlatPart) -> list[tuple[Geometry, float]]:
    """Give each wire of a flat with its radius."""
    return [(wire.line, subject.wire_mm[wire.material or ""] / 2) for wire in flat.pattern.wires]


def outline_of(flat: FlatPart) -> Geometry:
    """Give the outline of a flat's glass."""
    return shapely.union_all([piece.face for piece in flat.pattern.pieces])


def pose_of(place: Placing) -> Floats:
    """Give the pose that takes a flat's mesh (y upwards) to where its copy stands."""
    pose = np.eye(4)
    across, up = UPWARDS @ place.across, -(UPWARDS @ place.down)
    pose[:3, :3] = np.column_stack([across, up, np.cross(across, up)])
    pose[:3, 3] = UPWARDS @ place.origin
    return pose


def first_variant(product: Product) -> Variant:
    """Give the variant that is offered first."""
    keys = product.keys
    size, finish = next(iter(keys.sizes or ("",))), next(iter(keys.finishes or ("",)))
    return Variant(product.slug, size, finish, next(iter(keys.glass)))


def variants_of(content: Content, slug: str) -> Sequence[Variant]:
    """Give the variants of a set, or a product's first, by its folder's name.

    Raises:
        StopIteration: there is no such set or product.
    """
    for made_set in content.sets:
        if made_set.slug == slug:
            return [variant for variant, _ in made_set.members]
    return [first_variant(next(product for product in content.products if product.slug == slug))]


def read_subject(content: Content, variant: Variant) -> Subject:
    """Take one variant of a product through the stages from drawing to hanging.

    Raises:
        StopIteration: there is no such product or size.
    """
    product = next(product for product in content.products if product.slug == variant.product)
    making, materials = content.studio.making, content.materials
    # Nothing is kept where there is no folder.
    store = Store(Path(tempfile.gettempdir()) / "no-such-folder")
    assembly = Assembler(materials, making, content.studio.hanging, content.day, store).assemble(product)
    chosen = {("", variant.choice), (variant.size, variant.choice)}
    piece = next(piece for piece in assembly.pieces if (piece.size, piece.choice) in chosen)
    made, hung, glass = piece.made, piece.suspension, product.keys.glass[variant.choice]
    names = {wire.material or "" for flat in made.flats for wire in flat.pattern.wires}
    wires = {name: materials.rows[name or making.wire].wire_mm or 1.0 for name in names}
    foil = float(made.foil.width_mm or 0)
    held, border = held_of(product, hung), border_of(product, materials)
    return Subject(product.slug, variant.finish, made.flats, content.glass(glass), foil, wires, held, border)
