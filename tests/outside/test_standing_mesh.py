"""Standing forms as solids: what trimesh, a general mesh library, says of their mass, balance, footprint and tipping.

The forms are set up by hand (standing_forms). Glass is extruded, foil is a shell round each cut, beads are bars with
the sections that arcs give (test_solder_section, test_corner_section). The ground lies under the lowest glass and the
bead on its face; under an upright edge it is the drawn line.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

import numpy as np
import pytest
import shapely
import trimesh

from catalog_builder.pattern.measured import measure
from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.piece.made_piece import make_piece
from catalog_builder.piece.standing.standing_piece import stand_piece
from catalog_builder.records.content import Content, read_content
from tests.outside.standing_forms import SLOPE, Form, Placed, Points, hood, lamp, pyramid, sea_star_box
from tests.outside.test_corner_section import corner_section
from tests.outside.test_solder_section import rim_section, seam_section
from tests.parts import block, join
from tests.studio import content, record

PROJECT = Path(__file__).parents[2]
DAY = date(2026, 12, 1)
SAME = 0.005


@dataclass
class Solids:
    """Solids with their masses in g."""

    masses: list[float] = field(default_factory=list)
    centres: list[Points] = field(default_factory=list)

    def add(self, solid: trimesh.Trimesh, density: float, share: float = 1.0) -> None:
        """Take in a solid of a density in g/cm3, or so many times its mass."""
        assert solid.is_volume
        self.masses.append(share * float(abs(solid.volume)) / 1000 * density)
        self.centres.append(np.asarray(solid.center_mass))

    @property
    def centre(self) -> Points:
        """The centre of mass."""
        return np.asarray(np.average(self.centres, axis=0, weights=self.masses))


def bare(root: Path, main: str, part: str, angle: float, down: str) -> Content:
    """A studio's product of a main drawing with the same part on every side."""
    box = 'width="400mm" height="400mm" viewBox="-200 -200 400 400"'
    keys = f"hang: {{by: stand, down: {down}}}\nparts:\n  side: {{inside_angle: {angle:.4f}, around: true}}"
    return content(root, record(main, box, "{left: slate}", keys) + block("side", part, box))


def polygon(*corners: tuple[float, float]) -> str:
    """A polygon of glass."""
    return f'<polygon points="{" ".join(f"{x:.6f},{y:.6f}" for x, y in corners)}" data-glass="left"/>'


def records_of(name: str, root: Path) -> tuple[Content, Form]:
    """A form's content, as a maker writes it, and the same form set up by hand."""
    if name == "lamp":
        return read_content(PROJECT, DAY), lamp()
    if name == "box":
        return read_content(PROJECT, DAY), sea_star_box()
    if name == "pyramid":
        high = 30 * math.sqrt(3)
        side = polygon((0, 0), (30, high), (-30, high)) + join(-30, high, 30, high)
        return bare(root, polygon((-30, -30), (30, -30), (30, 30), (-30, 30)), side, SLOPE, "back"), pyramid()
    side = polygon((-20, 0), (20, 0), (50, 60), (-50, 60)) + join(-20, 0, 20, 0)
    return bare(root, polygon((-20, -20), (20, -20), (20, 20), (-20, 20)), side, 120, "front"), hood()


SLUGS = {"lamp": "reedbed-lamp", "box": "sea-star-box", "pyramid": "pane", "hood": "pane"}


@pytest.mark.parametrize("name", SLUGS)
def test_standing_forms(tmp_path: Path, name: str) -> None:
    """Mass, centre of mass, height, footprint and tipping angle are those of the solids, to half a per cent."""
    studio, form = records_of(name, tmp_path)
    # Lumps at joints have no stated shape.
    making = studio.studio.making.model_copy(update={"joint_solder_g": 0})
    product = next(each for each in studio.products if each.slug == SLUGS[name])
    words = next(iter(product.keys.glass.values()))
    (sized,) = read_sizes(product, making, studio.materials)
    made = make_piece(product, words, measure(product, sized, making), studio.materials, making)
    stood = stand_piece(made, product, studio.materials, DAY, making, studio.studio.hanging)

    rows = studio.materials.rows
    glass = {word: rows[material] for word, material in words.pieces.items()}
    thick = max(float(each.thickness_mm or 0) for each in glass.values())
    wide, thin = float(made.foil.width_mm or 0), float(made.foil.thickness_mm or 0)
    gap, over = float(making.foil_gap_mm), float(making.seam_height_mm)
    seam = seam_section(wide, thin, thick, gap, over).area
    rim = rim_section(wide, thick, float(making.rim_height_mm)).area

    solids, covers = Solids(), []
    for placed in form.placed:
        taken = shapely.union_all(placed.sheet.seams).buffer(gap / 2)
        for face, word in placed.sheet.faces:
            cut = face.difference(taken).simplify(0.005)
            deep = float(glass[word].thickness_mm or 0)
            solids.add(extruded(cut, deep, placed), glass[word].density)
            covers.append(extruded(cut, thick + 2 * over, placed))
            edge = cut.exterior.length
            shell = extruded(cut.buffer(thin, join_style="mitre").difference(cut), wide, placed)
            solids.add(shell, made.foil.density, (edge + float(making.foil_overlap_mm)) / edge)
        for line in placed.sheet.seams:
            solids.add(extruded(line.buffer(0.1, cap_style="flat"), seam / 0.2, placed), made.solder.density)
    for low, high, sectors in form.corners:
        area = corner_section(sectors, wide, thin, thick, gap, over).area
        solids.add(bar(low, high, area), made.solder.density)
    for low, high in form.rims:
        solids.add(bar(low, high, rim), made.solder.density)
    for low, high, material in form.tubes:
        solids.add(bar(low, high, math.pi / 4 * rows[material].wire_mm ** 2), rows[material].density)

    on = stood.stance
    assert on is not None
    assert on.footprint is not None
    assert on.tipping is not None
    whole = trimesh.util.concatenate(covers)
    ground, top = whole.bounds[:, 2].tolist()
    right, back, up = solids.centre.tolist()
    foot = float(stood.hanger.length_mm or 0) if stood.hanger is not None else 0.0
    high = up - ground + foot
    extent = float(whole.extents.max())
    assert stood.body.mass_g == pytest.approx(sum(solids.masses), rel=SAME)
    # Each has its own origin: the centre of mass counts from the middle of what it stands on.
    middle, own = form.footprint.centroid, on.footprint.area.centroid
    centre = on.centre_mm[0] - own.x, on.centre_mm[1], on.centre_mm[2] - own.y
    assert centre == pytest.approx((right - middle.x, high, middle.y - back), abs=SAME * extent)
    assert on.height_mm == pytest.approx(top - ground + foot, rel=SAME)
    assert on.footprint.area.area == pytest.approx(form.footprint.area, rel=SAME)
    left, front, right_end, far = form.footprint.bounds
    assert on.footprint.size_mm == pytest.approx((right_end - left, far - front), rel=SAME)
    inside = form.footprint.exterior.distance(shapely.Point(right, back))
    assert on.tipping.degrees == pytest.approx(math.degrees(math.atan2(inside, high)), rel=SAME)


def extruded(shape: shapely.Geometry, deep: float, placed: Placed) -> trimesh.Trimesh:
    """A flat shape as a solid, half its depth on each side of its drawing."""
    solid = trimesh.creation.extrude_polygon(shape, deep)
    solid.apply_translation((0, 0, -deep / 2))
    solid.apply_transform(placed.pose)
    return solid


def bar(low: Points, high: Points, area: float) -> trimesh.Trimesh:
    """A straight bar of a section from one place to another."""
    half = area**0.5 / 2
    return trimesh.creation.sweep_polygon(shapely.box(-half, -half, half, half), np.array([low, high]))
