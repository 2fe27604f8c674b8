"""Frames against tables of metals and glass, against solids of a mesh library, and against statics.

Sheets of lead: BS EN 12588, codes 3 to 8, as merchants of roofing lead print them (thickness, mass a square metre).
Densities of metals: the table of simetric.co.uk, "Density of metals". Glass: 2.5 kg a square metre for each mm, as
EN 572-1 and glaziers have it. Softwood of the strength class C24: 420 kg a cubic metre (EN 338, from memory).
"""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
import shapely
import trimesh
from shapely import Polygon

from catalog_builder.pattern.framing.frame import Frame, grown, read_frame
from catalog_builder.piece.balance import leg_pulls
from catalog_builder.piece.framed_rim import FramedRim, middle_across_mm
from catalog_builder.records.material import Material
from tests.studio import content, makings, record, suspension

# Thickness in mm, kilograms a square metre.
LEAD_SHEET = [(1.32, 14.97), (1.80, 20.41), (2.24, 25.40), (2.65, 30.10), (3.15, 35.72), (3.55, 40.26)]


def row(**cells: object) -> Material:
    """A row of materials.csv."""
    return Material.model_validate({"material": "x", "title": "x", "pack_size": 3, "pack_unit": "m", **cells})


@pytest.mark.parametrize(("thick_mm", "kg_m2"), LEAD_SHEET)
def test_strips_of_lead_weigh_what_sheets_of_lead_do(thick_mm: float, kg_m2: float) -> None:
    """A strip 10 mm wide is a hundredth of a square metre a metre; the printed masses are rounded pounds a foot."""
    lead = row(kind="strip", width_mm=Decimal(10), thickness_mm=Decimal(str(thick_mm)), alloy="Pb100")
    assert lead.mass_per_m == pytest.approx(kg_m2 * 10, rel=0.006)


@pytest.mark.parametrize(
    ("alloy", "least", "most"),
    [("Pb100", 11.30, 11.34), ("Zn100", 7.13, 7.14), ("Cu63Zn37", 8.15, 8.45)],
    ids=["lead", "zinc", "brass CuZn37"],
)
def test_came_weighs_its_section_of_metal(alloy: str, least: float, most: float) -> None:
    """A U of 8 x 6 mm with a slot of 6 x 4 mm has 24 mm2; ideal mixing makes brass lighter than its table by 2 to 3 %.

    Rolled brass is 8.43 to 8.73 g/cm3 in the table, so that the guide asks for the density or the weight of brass.
    """
    came = row(kind="came", width_mm=8, thickness_mm=6, rebate_mm=6, slot_mm=4, alloy=alloy)
    assert came.section_mm2 == 24
    assert least * 24 <= came.mass_per_m <= most * 24


def test_moulding_of_softwood() -> None:
    """A stick of 20 x 15 mm with a rebate of 6 x 8 mm has 252 mm2: 106 g a metre at 420 kg a cubic metre."""
    wood = row(
        kind="moulding", width_mm=20, thickness_mm=15, rebate_mm=6, slot_mm=8, density_g_cm3="0.42", colour="#8a6a45"
    )
    assert wood.mass_per_m == pytest.approx(252e-6 * 420 * 1000)


def test_middle_of_a_channel_section() -> None:
    """By the first moments of rectangles, as in any handbook of statics: 36 mm2 at 3 mm less 16 mm2 at 4 mm."""
    came = row(kind="came", width_mm=6, thickness_mm=6, rebate_mm=4, slot_mm=4, alloy="Zn100")
    assert middle_across_mm(came) == pytest.approx((36 * 3 - 16 * 4) / 20)


def solids(frame: Frame, material: Material, thick_mm: float) -> list[trimesh.Trimesh]:
    """A frame as solids in layers, z to the viewer, the glass in the plane z = 0.

    The layers before and behind the slot are as wide as what is seen; that of the slot is as wide as the web.
    """
    slot, whole = float(material.slot_mm or 0), float(material.thickness_mm or 0)
    web = frame.outside.difference(grown(frame.rim, float(material.play_mm)))
    face = frame.outside.difference(frame.light)
    if material.kind == "came":
        layers = [(face, -whole / 2, (whole - slot) / 2), (web, -slot / 2, slot), (face, slot / 2, (whole - slot) / 2)]
    else:
        front = thick_mm / 2
        layers = [(web, front - slot, slot), (face, front, whole - slot)]
    made = []
    for shape, low, height in layers:
        solid = trimesh.creation.extrude_polygon(shape, height)
        solid.apply_translation((0, 0, low))
        assert solid.is_volume
        made.append(solid)
    return made


SHAPES = {
    "rectangle": shapely.box(0, 0, 240, 180),
    "four corners": Polygon([(0, 0), (200, 30), (160, 170), (20, 140)]),
    "inside corner": Polygon([(0, 0), (200, 0), (200, 90), (110, 90), (110, 200), (0, 200)]),
    "disc": shapely.Point(90, 90).buffer(90, quad_segs=180),
}
CAME = {"kind": "came", "width_mm": 9, "thickness_mm": 6, "rebate_mm": 6, "slot_mm": 4, "alloy": "Zn100"}
MOULDING = {
    **dict(zip(("width_mm", "thickness_mm", "rebate_mm", "slot_mm", "play_mm"), (20, 16, 7, 8, 1), strict=True)),
    "kind": "moulding",
    "density_g_cm3": "0.42",
    "colour": "#8a6a45",
}


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("cells", [CAME, MOULDING], ids=["came", "moulding"])
def test_frame_as_solids(name: str, cells: dict[str, object]) -> None:
    """Mitred bars weigh what trimesh weighs of their solids, to 0.5 %, and have their centre of mass, to 0.5 mm.

    Out of the plane a mitre moves it by a tenth of a millimetre, which is left out.
    """
    material, glass = row(**cells), SHAPES[name]
    frame = read_frame([glass], material.outside_mm, material.covers_mm)
    assert frame is not None
    framed = FramedRim(material, frame.bars, (0, 0), (0, 0), 0, 3.0)
    parts = solids(frame, material, 3.0)
    volumes = [solid.volume for solid in parts]
    assert framed.mass_g == pytest.approx(sum(volumes) / 1000 * material.density, rel=0.005)
    x, y, z = np.average([solid.center_mass for solid in parts], axis=0, weights=volumes).tolist()
    line = frame.line_at(material.outside_mm - middle_across_mm(material)).centroid
    assert (line.x, line.y) == pytest.approx((x, y), abs=0.5)
    assert framed.forward_mm == pytest.approx(z, abs=0.15)


def test_rectangle_of_channel_has_its_middle_in_its_middle() -> None:
    """A rectangle of zinc, 240 x 180 mm of glass: mass and centre of mass of the solid to 0.5 %."""
    material, frame = row(**CAME), read_frame([SHAPES["rectangle"]], 3, 6)
    assert frame is not None
    framed = FramedRim(material, frame.bars, (0, 0), (0, 0), 0, 3.0)
    middle = framed.material.outside_mm - middle_across_mm(material)
    # By hand: section x length on the middle of the section x density.
    by_hand = 30 * (2 * (240 + 180) + 8 * middle) * 7.134 / 1000
    assert framed.mass_g == pytest.approx(by_hand, rel=1e-9)
    solid = sum(part.volume for part in solids(frame, material, 3.0)) / 1000 * 7.134
    assert by_hand == pytest.approx(solid, rel=0.005)


ZINC = {key: str(value) for key, value in CAME.items()} | {"pack_size": "3", "pack_unit": "m"}
PANE = '<rect width="200" height="150" data-glass="left"/>'
RINGS = '<circle data-mark="ring" cx="40" cy="0" r="1"/><circle data-mark="ring" cx="160" cy="0" r="1"/>'
BOX = 'width="200mm" height="150mm" viewBox="0 0 200 150"'


def test_panel_weighs_its_glass_and_its_frame(tmp_path: Path) -> None:
    """A pane of 200 x 150 x 3 mm weighs 225 g by 2.5 kg/m2 and mm; zinc came of 30 mm2 goes round it."""
    text = record(PANE + RINGS, BOX, "{left: reed}", "frame: {material: zinc}")
    body = suspension(content(tmp_path, text, materials={"zinc": ZINC})).body
    assert body.share("glass") == pytest.approx(0.2 * 0.15 * 3 * 2.5 * 1000)
    assert body.share("rim") == 0
    assert body.share("frame") == pytest.approx(30 * (700 + 8 * (3 - 3.3)) * 7.134 / 1000)


def test_two_rings_on_a_frame_carry_it_as_a_sling_does(tmp_path: Path) -> None:
    """The pull in each leg of a chain over two rings is W / (2 sin a), the angle taken at the frame's outer edge."""
    keys = "frame: {material: zinc}\nhang: {by: chain, length: 240 mm}"
    found = content(tmp_path, record(PANE + RINGS, BOX, "{left: reed}", keys), materials={"zinc": ZINC})
    hung = suspension(found)
    assert [place for ring in hung.rings for place in ring] == pytest.approx([40, -3, 160, -3])
    rise = (120**2 - 60**2) ** 0.5
    pull = hung.body.mass_g / (2 * rise / 120)
    assert hung.ring_loads_g == pytest.approx((pull, pull), rel=1e-6)
    assert leg_pulls((40, -3), (160, -3), (100, -3 - rise), hung.body.centre, hung.body.mass_g)[0] == pytest.approx(
        pull
    )


def test_moulding_hangs_leaning_as_far_as_its_weight_lies_forward(tmp_path: Path) -> None:
    """Wood that stands before the glass draws the top back: tan(lean) is its weight's way forward over its depth."""
    wood = {key: str(value) for key, value in MOULDING.items()} | {"pack_size": "3", "pack_unit": "m"}
    text = record(PANE + RINGS, BOX, "{left: reed}", "frame: {material: wood}")
    eye = {"kind": "screw_eye", "pack_size": "10", "pack_unit": "each"}
    eye |= {"mass_g": "1.2", "length_mm": "9", "rated_load_g": "4000"}
    found = content(tmp_path, text, materials={"wood": wood, "eye": eye})
    hung, (made,) = suspension(found), makings(found)
    assert made.frame is not None
    out = hung.body.forward - made.frame.ring_forward_mm
    below = hung.body.centre[1] - hung.rings[0][1]
    assert np.tan(np.radians(hung.lean_degrees)) == pytest.approx(out / below)
    assert hung.depth_mm == 16
