"""Pieces as solids: trimesh, a general mesh library, weighs every product of the demo.

Glass is extruded from its cuts. Foil, beads and wires are swept along their lines, beads with the sections by arcs of
test_solder_section, foil and wire with those of the tables; where a line turns sharply the sweep begins anew.
"""

from __future__ import annotations

from datetime import date
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import shapely
import trimesh
from numpy.typing import NDArray
from shapely import LineString, MultiLineString, Polygon

from catalog_builder.pattern.measured import measure
from catalog_builder.pattern.parts.placing import Placing
from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.piece.made_piece import MadePiece, make_piece
from catalog_builder.piece.mass import Body
from catalog_builder.records.content import Content, read_content
from catalog_builder.records.product import Product
from tests.outside.test_corner_section import corner_section
from tests.outside.test_solder_section import rim_section, seam_section
from tests.studio import hung

PROJECT = Path(__file__).parents[2]
DAY = date(2026, 12, 1)


@cache
def demo() -> Content:
    """The demo studio's content."""
    return read_content(PROJECT, DAY)


def is_flat_glass(product: Product) -> bool:
    """Say whether all its glass is cut from sheets: what is bought ready has meshes of its own."""
    names = {name for choice in product.keys.glass.values() for name in choice.pieces.values()}
    return not any(demo().materials.rows[name].ready_made for name in names)


PRODUCTS = sorted(product.slug for product in demo().products if is_flat_glass(product))


def slab(shape: Polygon, thickness_mm: float, place: Placing) -> trimesh.Trimesh:
    """A cut of glass as a solid that stands where its flat does, half its thickness on each side of the plane."""
    solid = trimesh.creation.extrude_polygon(shape, thickness_mm)
    solid.apply_translation((0, 0, -thickness_mm / 2))
    stand = np.eye(4)
    stand[:3, :3] = np.stack([place.across, place.down, np.cross(place.across, place.down)], axis=1)
    stand[:3, 3] = place.origin
    solid.apply_transform(stand)
    return solid


@pytest.mark.parametrize("slug", PRODUCTS)
def test_glass(slug: str) -> None:
    """A product's glass, cut out as solids, has the mass and the centre of mass that are reckoned."""
    content = demo()
    product = next(one for one in content.products if one.slug == slug)
    for sized in read_sizes(product, content.studio.making, content.materials):
        measured = measure(product, sized, content.studio.making)
        for choice in product.keys.glass.values():
            made = make_piece(product, choice, measured, content.materials, content.studio.making)
            body = hung(content, product, made).body
            masses, centres = [], []
            for flat in made.flats:
                for place in flat.places:
                    for cut in flat.cuts:
                        glass = content.materials.rows[choice.pieces[cut.glass]]
                        solid = slab(cut.shape, float(glass.thickness_mm or 0), place)
                        assert solid.is_volume
                        masses.append(abs(solid.volume) / 1000 * glass.density)
                        centres.append(solid.center_mass)
            glass_body = Body(tuple(part for part in body.parts if part.name == "glass"))
            assert glass_body.mass_g == pytest.approx(sum(masses), rel=1e-6)
            middle = np.average(centres, axis=0, weights=masses)
            assert (*glass_body.centre, glass_body.forward) == pytest.approx(middle, abs=1e-4)


# What is weighed as solids; joints and drops are lumps of no stated shape, and rings come from their table.
SWEPT = ("glass", "foil", "seam", "rim", "wire")
# The sum of the solids and the reckoned mass agree to this share, the centres of mass to this many mm.
SAME_MASS, SAME_PLACE_MM = 0.01, 0.05
SHARP_DEGREES = 30


def square_of(area_mm2: float) -> Polygon:
    """A square section of an area about its middle."""
    half = area_mm2**0.5 / 2
    return shapely.box(-half, -half, half, half)


def round_of(area_mm2: float) -> Polygon:
    """A round section of an area about its middle."""
    disc = shapely.Point(0, 0).buffer(1.0, quad_segs=8)
    return shapely.affinity.scale(disc, *[(area_mm2 / disc.area) ** 0.5] * 2, origin=(0, 0))


def runs_of(lines: LineString | MultiLineString) -> list[NDArray[np.float64]]:
    """The points of lines in runs that turn nowhere sharply, each of shape (n, 2)."""
    runs: list[NDArray[np.float64]] = []
    for line in shapely.get_parts(lines):
        points = shapely.get_coordinates(line)
        ways = np.diff(points, axis=0)
        points = points[np.concatenate([[True], np.hypot(*ways.T) > 1e-9])]
        turns = np.degrees(np.arctan2(*np.diff(points, axis=0).T))
        sharp = np.flatnonzero(np.abs((np.diff(turns) + 180) % 360 - 180) > SHARP_DEGREES) + 1
        cuts = [0, *sharp.tolist(), len(points) - 1]
        if np.allclose(points[0], points[-1]) and len(cuts) == 2:
            cuts.insert(1, len(points) // 2)
        runs.extend(points[begin : end + 1] for begin, end in pairwise(cuts))
    return [run for run in runs if len(run) > 1]


def swept(lines: LineString | MultiLineString, section: Polygon, place: Placing) -> list[tuple[float, np.ndarray]]:
    """Volume in mm3 and centre of each solid that a section makes along lines of a flat, where it stands."""
    found = []
    for run in runs_of(lines):
        solid = trimesh.creation.sweep_polygon(section, place.points(run))
        found.append((float(abs(solid.volume)), np.asarray(solid.center_mass)))
    return found


def merged(stretches: NDArray[np.float64]) -> LineString | MultiLineString:
    """Straight stretches of shape (n, 2, 2) as lines, led on where they meet."""
    return shapely.line_merge(shapely.multilinestrings(list(stretches)))


def solids(studio: Content, made: MadePiece, glass_words: dict[str, str]) -> list[tuple[str, float, np.ndarray]]:
    """Every solid of a piece: what it is, its mass in g, and its centre in space."""
    rows, making = studio.materials.rows, studio.studio.making
    thickness = max(float(rows[name].thickness_mm or 0) for name in glass_words.values())
    wide, gap = float(made.foil.width_mm or 0), float(making.foil_gap_mm)
    thin = float(made.foil.thickness_mm or 0)
    seam = square_of(seam_section(wide, thin, thickness, gap, float(making.seam_height_mm)).area)
    rim = square_of(rim_section(wide, thickness, float(making.rim_height_mm)).area)
    found: list[tuple[str, float, np.ndarray]] = []
    for flat in made.flats:
        for place, rims in zip(flat.places, flat.rims, strict=True):
            for cut in flat.cuts:
                glass = rows[glass_words[cut.glass]]
                solid = slab(cut.shape, float(glass.thickness_mm or 0), place)
                found.append(("glass", float(abs(solid.volume)) / 1000 * glass.density, np.asarray(solid.center_mass)))
                for volume, centre in swept(cut.shape.exterior, square_of(wide * thin), place):
                    found.append(("foil", volume / 1000 * made.foil.density, centre))
            for name, stretches, section in (("seam", flat.edges.seams, seam), ("rim", rims, rim)):
                for volume, centre in swept(merged(stretches), section, place) if len(stretches) else ():
                    found.append((name, volume / 1000 * made.solder.density, centre))
            for wire in flat.pattern.wires:
                material = rows[wire.material or making.wire]
                strip = float(material.width_mm or 0) * float(material.thickness_mm or 0)
                is_strip = material.kind == "strip"
                section = square_of(strip) if is_strip else round_of(np.pi / 4 * material.wire_mm**2)
                for volume, centre in swept(wire.line, section, place):
                    found.append(("wire", volume / 1000 * material.density, centre))
                    if is_strip:  # it lies in the seam in the place of solder
                        found.append(("seam", -volume / 1000 * made.solder.density, centre))
    for corner in made.corners:
        area = corner_section(corner.sectors, wide, thin, thickness, gap, float(making.seam_height_mm)).area
        solid = trimesh.creation.sweep_polygon(square_of(area), corner.points)
        # A seam of the drawing's own that others are joined to has been swept flat above.
        more = 1.0 if corner.counted else 1.0 - seam.area / area
        mass = more * float(abs(solid.volume)) / 1000 * made.solder.density
        found.append(("seam", mass, np.asarray(solid.center_mass)))
    return found


@pytest.mark.parametrize("slug", PRODUCTS)
def test_whole(slug: str) -> None:
    """A product's glass, foil, beads and wires as solids weigh what is reckoned, and balance where it is reckoned."""
    studio = demo()
    product = next(one for one in studio.products if one.slug == slug)
    choice = next(iter(product.keys.glass.values()))
    for sized in read_sizes(product, studio.studio.making, studio.materials):
        measured = measure(product, sized, studio.studio.making)
        made = make_piece(product, choice, measured, studio.materials, studio.studio.making)
        if studio.studio.making.solder_source != "model":
            pytest.skip("the studio weighs its solder, so that no section is reckoned")
        body = Body(tuple(part for part in hung(studio, product, made).body.parts if part.name in SWEPT))
        found = solids(studio, made, dict(choice.pieces))
        masses = np.array([mass for _, mass, _ in found])
        for name in ("glass", "seam", "rim", "wire"):
            assert sum(mass for one, mass, _ in found if one == name) == pytest.approx(body.share(name), rel=SAME_MASS)
        assert masses.sum() == pytest.approx(body.mass_g, rel=SAME_MASS)
        middle = np.average([centre for _, _, centre in found], axis=0, weights=masses)
        assert (*body.centre, body.forward) == pytest.approx(middle, abs=SAME_PLACE_MM)
