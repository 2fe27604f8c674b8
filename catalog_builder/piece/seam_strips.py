"""Strips of metal that strengthen seams: they lie in the solder of the seams that they are drawn along. mm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import shapely

from catalog_builder.mistake import Mistakes
from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.records.material import Material
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Making

# A strip follows seams this closely, over this share of its length.
ALONG_MM = 0.5
ALONG = 0.95


def refuse_strips(
    product: Product,
    flats: Sequence[FlatPart],
    rows: Mapping[str, Material],
    foil: Material,
    thickness_mm: float,
    making: Making,
) -> None:
    """Refuse strips that do not lie in seams, or that a seam has no room for.

    A strip stands on edge between two foiled pieces and is covered by the beads: common practice, no source.

    Raises:
        MistakeError: with every strip that does not.
    """
    mistakes = Mistakes()
    room, height = float(making.foil_gap_mm) - 2 * float(foil.thickness_mm or 0), float(making.seam_height_mm)
    for flat in flats:
        strips = [(wire, rows[name]) for wire in flat.pattern.wires if (name := wire.material or "") in rows]
        strips = [(wire, material) for wire, material in strips if material.kind == "strip"]
        if not strips:
            continue  # what lies along the seams takes long to find
        seams = shapely.multilinestrings(shapely.linestrings(flat.edges.seams)).buffer(ALONG_MM)
        for wire, material in strips:
            middle = wire.line.centroid
            # An image across the fold can only be mended where it is drawn.
            if not flat.pattern.is_drawn(middle.x, middle.y):
                continue
            place, what = product.place_of(wire.row, flat.name), f"the strip {material.material!r}"
            if wire.line.intersection(seams).length < ALONG * wire.line.length:
                off = shapely.get_coordinates(wire.line.difference(seams))
                x, y = (np.asarray(off.mean(axis=0)) / flat.pattern.scale).tolist()
                mistakes.add(
                    place,
                    wrong=f"{what} leaves the seams near x {x:.1f}, y {y:.1f} of the drawing",
                    expected="a line along seams, over its whole length",
                    mend="draw it along the lines where pieces meet, or use a wire, which may lie anywhere",
                    spot=(x, y),
                )
            if float(material.thickness_mm or 0) > room:
                mistakes.add(
                    place,
                    wrong=f"{what} is {material.thickness_mm:g} mm thick, and a seam has {room:.2f} mm of room",
                    expected="a strip no thicker than making.foil_gap_mm less two thicknesses of foil",
                    mend="take a thinner strip, or cut the glass with a wider foil_gap_mm",
                )
            if float(material.width_mm or 0) > thickness_mm + 2 * height:
                mistakes.add(
                    place,
                    wrong=f"{what} is {material.width_mm:g} mm wide and would stand out of the bead",
                    expected=f"at most {thickness_mm + 2 * height:g} mm: the glass and the bead on both its faces",
                    mend="take a narrower strip",
                )
    mistakes.raise_if_any()
