"""The mass of a piece, part by part, each with where it sits.

Patina, flux residue and wax weigh too little to count. Positions are mm: x to the right, y down, z to the viewer.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from catalog_builder.pattern.cuts import Cut
from catalog_builder.pattern.parts.corner import Corner
from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.pattern.parts.placing import Placing
from catalog_builder.pattern.pieces import Pattern
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.piece.bead import Bead
from catalog_builder.piece.framed_rim import FramedRim, middle_across_mm
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.piece.ready_glass import ready_made_mass_g
from catalog_builder.records.material import Material
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Making


@dataclass(frozen=True, slots=True)
class MassPart:
    """A part's mass in g and the point in mm where it acts; ``of`` is the material that it is made of."""

    name: str
    mass_g: float
    x: float
    y: float
    z: float = 0.0
    of: str = ""

    def placed(self, place: Placing) -> MassPart:
        """Give the part where its flat stands in space."""
        x, y, z = place.point(self.x, self.y)
        # A frame is round the main flat alone, which is not turned: its middle may lie in front of the glass.
        return MassPart(self.name, self.mass_g, x, y, z + self.z, self.of)


@dataclass(frozen=True, slots=True)
class Body:
    """Parts taken together: total mass in g and centre of mass in mm."""

    parts: tuple[MassPart, ...]

    @property
    def mass_g(self) -> float:
        """The mass of all parts in grams."""
        return sum(part.mass_g for part in self.parts)

    @property
    def centre(self) -> tuple[float, float]:
        """The centre of mass: the mean of the parts' places, weighted by their masses."""
        total = self.mass_g
        return (
            sum(part.mass_g * part.x for part in self.parts) / total,
            sum(part.mass_g * part.y for part in self.parts) / total,
        )

    @property
    def forward(self) -> float:
        """How far the centre of mass stands out towards the viewer, in mm."""
        return sum(part.mass_g * part.z for part in self.parts) / self.mass_g

    def share(self, name: str) -> float:
        """Give the mass in grams of all parts of a name."""
        return sum(part.mass_g for part in self.parts if part.name == name)

    @property
    def summed(self) -> Body:
        """Give the same with the parts of one name and material taken together: each group acts at its own centre."""
        groups: dict[tuple[str, str], list[MassPart]] = {}
        for part in self.parts:
            groups.setdefault((part.name, part.of), []).append(part)
        return Body(tuple(_together(name, of, parts) for (name, of), parts in groups.items()))


def _together(name: str, of: str, parts: Sequence[MassPart]) -> MassPart:
    mass = sum(part.mass_g for part in parts)
    # Without a mass there is no mean weighted by it.
    if not mass:
        return MassPart(name, mass, parts[0].x, parts[0].y, parts[0].z, of)
    x, y, z = (sum(part.mass_g * at for part, at in zip(parts, ats, strict=True)) / mass
               for ats in zip(*((part.x, part.y, part.z) for part in parts), strict=True))  # fmt: skip
    return MassPart(name, mass, x, y, z, of)


def glass_parts(cuts: Sequence[Cut], glass: Mapping[str, Material]) -> list[MassPart]:
    """Give the mass of each cut: area x thickness x density (mm2 x mm x g/cm3 / 1000 = g), or that of a ready piece."""
    parts = []
    for cut in cuts:
        material = glass[cut.glass]
        if material.ready_made:
            mass = ready_made_mass_g(material, cut.shape)
        else:
            mass = cut.area_mm2 * float(material.thickness_mm or 0) * material.density / 1000
        parts.append(MassPart("glass", mass, cut.shape.centroid.x, cut.shape.centroid.y, of=material.material))
    return parts


def foil_parts(cuts: Sequence[Cut], foil: Material, overlap_mm: float) -> list[MassPart]:
    """Give the mass of the foil round each cut: length x width x thickness x density, glue left out."""
    section = float(foil.width_mm or 0) * float(foil.thickness_mm or 0)
    parts = []
    for cut in cuts:
        # Foil goes round the edge, so that it acts at the middle of the outline, not of the area.
        middle = cut.shape.exterior.centroid if not cut.shape.is_empty else cut.shape.centroid
        parts.append(MassPart("foil", (cut.edge_mm + overlap_mm) * section * foil.density / 1000, middle.x, middle.y))
    return parts


def solder_parts(flat: FlatPart, bead: Bead, joint_g: float, drops_g: float = 0.0) -> list[MassPart]:
    """Give the mass of the beads along a flat's own seams, at its joints, and of decorative drops."""
    parts, edges = bead_parts("seam", flat.edges.seams, bead.seam_g_m), flat.edges
    if len(edges.joints) and joint_g:
        x, y = edges.joints.mean(axis=0).tolist()
        parts.append(MassPart("joints", joint_g * len(edges.joints), x, y))
    stretches = np.concatenate([edges.seams, edges.rims, flat.joined])
    if drops_g and len(stretches):
        _, x, y = _middle(stretches)
        parts.append(MassPart("drops", drops_g, x, y))
    return parts


def bead_parts(name: str, stretches: Points, grams_m: float) -> list[MassPart]:
    """Give the mass of a bead of so many grams a metre along straight stretches of shape (n, 2, 2)."""
    if not len(stretches):
        return []
    length, x, y = _middle(stretches)
    return [MassPart(name, length / 1000 * grams_m, x, y)]


def corner_parts(corners: Sequence[Corner], tacks: Points, bead: Bead, joint_g: float) -> list[MassPart]:
    """Give the mass of the seams in space, each by the angles of its faces, and of the joints at their ends.

    ``tacks`` has shape (k, 3).
    """
    parts = []
    for corner in corners:
        x, y, z = corner.points.mean(axis=0).tolist()
        # Where a flat seam is counted already, a corner takes what it has beyond that.
        grams_m = bead.corner_g_m(corner.sectors) - (0.0 if corner.counted else bead.seam_g_m)
        parts.append(MassPart("seam", corner.length_mm / 1000 * grams_m, x, y, z))
    return [*parts, *(MassPart("joints", joint_g, x, y, z) for x, y, z in tacks.tolist() if joint_g)]


def wire_parts(pattern: Pattern, materials: Mapping[str, Material], usual: str, solder: Material) -> list[MassPart]:
    """Give the mass of each wire and strip: length x mass a metre. A strip lies in a seam in the place of solder."""
    parts = []
    for wire in pattern.wires:
        material = materials[wire.material or usual]
        middle = wire.line.centroid
        metres = wire.line.length / 1000
        parts.append(MassPart("wire", metres * material.mass_per_m, middle.x, middle.y))
        if material.kind == "strip":
            spared = material.section_mm2 * solder.density
            parts.append(MassPart("seam", -metres * spared, middle.x, middle.y))
    return parts


def frame_parts(flat: FlatPart, framed: FramedRim | None, joint_g: float) -> list[MassPart]:
    """Give the mass of a frame, and of the solder at the corners of one of metal."""
    if framed is None or flat.frame is None:
        return []
    middle = flat.frame.line_at(framed.material.outside_mm - middle_across_mm(framed.material)).centroid
    parts = [MassPart("frame", framed.mass_g, middle.x, middle.y, framed.forward_mm)]
    if framed.material.kind == "came" and joint_g:
        parts.append(MassPart("joints", joint_g * framed.corners, middle.x, middle.y))
    return parts


def weigh_piece(piece: MadePiece, product: Product, materials: Materials, making: Making) -> Body:
    """Give the mass of a piece part by part, each where it stands in space; rings and hangers left out."""
    joint = float(making.joint_solder_g)
    parts: list[MassPart] = []
    for flat in piece.flats:
        # Given at the drawn size; taken to grow like the lines that the drops sit on: common practice, no source.
        drops = float(product.keys.solder_drops_g) * flat.pattern.enlarged if flat is piece.main else 0.0
        own = (
            *glass_parts(flat.cuts, piece.glass),
            *foil_parts(flat.cuts, piece.foil, float(making.foil_overlap_mm)),
            *solder_parts(flat, piece.bead, joint, drops),
            *wire_parts(flat.pattern, materials.rows, making.wire, piece.solder),
            *frame_parts(flat, piece.frame if flat is piece.main else None, joint),
        )
        for place, rims in zip(flat.places, flat.rims, strict=True):
            parts.extend(part.placed(place) for part in (*own, *bead_parts("rim", rims, piece.bead.rim_g_m)))
    return Body((*parts, *corner_parts(piece.corners, piece.tacks, piece.bead, joint)))


def _middle(stretches: Points) -> tuple[float, float, float]:
    """Give total length and centroid of straight stretches of shape (n, 2, 2)."""
    lengths = np.hypot(*(stretches[:, 1] - stretches[:, 0]).T)
    x, y = (stretches.mean(axis=1) * lengths[:, None]).sum(axis=0) / lengths.sum()
    return float(lengths.sum()), float(x), float(y)
