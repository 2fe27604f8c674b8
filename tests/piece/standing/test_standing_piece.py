"""Pieces that stand, stick in soil or are clipped on: sizes, mass, stance, and what is refused."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from pathlib import Path

import pytest

from catalog_builder.mistake import MistakeError
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.hanging.wind import GALE_M_S, push_n
from catalog_builder.piece.standing.stance import Stance
from tests.studio import PANE, PANE_RING, Cells, calculations, content, record, suspension

FOOT: Cells = {
    "kind": "foot",
    "pack_size": "10",
    "pack_unit": "each",
    "mass_g": "12",
    "length_mm": "5",
    "width_mm": "60",
}
PAD: Cells = {
    "kind": "foot",
    "pack_size": "50",
    "pack_unit": "each",
    "mass_g": "0.2",
    "length_mm": "2",
    "diameter_mm": "8",
}
ROD: Cells = {"kind": "wire", "pack_size": "5", "pack_unit": "m", "diameter_mm": "3", "density_g_cm3": "8.5"}
CLIP: Cells = {
    "kind": "clip",
    "pack_size": "10",
    "pack_unit": "each",
    "mass_g": "8",
    "length_mm": "30",
    "rated_load_g": "2000",
}
ADDED = {"foot": FOOT, "pad": PAD, "rod": ROD, "clip": CLIP}

BASE = '<rect width="100" height="60" data-glass="left"/>'
WALL = '<rect width="{0}" height="40" data-glass="left"/><line data-mark="join" x1="0" y1="40" x2="{0}" y2="40"/>'
WALL_BOX = "width='100mm' height='40mm' viewBox='0 0 100 40'"
JOINS = (
    '<line data-mark="join" data-part="long" x1="0" y1="0" x2="100" y2="0"/>'
    '<line data-mark="join" data-part="long" x1="0" y1="60" x2="100" y2="60"/>'
    '<line data-mark="join" data-part="short" x1="0" y1="0" x2="0" y2="60"/>'
    '<line data-mark="join" data-part="short" x1="100" y1="0" x2="100" y2="60"/>'
)


def tray(hang: str) -> str:
    """The record of a tray: a base of 100 x 60 mm that lies on its back, with walls of 40 mm all round."""
    blocks = "".join(
        f"```svg {name}\n<svg xmlns='http://www.w3.org/2000/svg' width='{long}mm' height='40mm' "
        f"viewBox='0 0 {long} 40'>{WALL.format(long)}</svg>\n```\n"
        for name, long in (("long", 100), ("short", 60))
    )
    keys = f"hang: {hang}\nparts:\n  long: {{set_at: [90]}}\n  short: {{set_at: [90]}}"
    return record(BASE + JOINS, glass="{left: slate}", keys=keys) + "\n" + blocks


def stood(root: Path, hang: str, drawing: str = PANE, materials: Mapping[str, Cells] | None = None) -> Suspension:
    """The pane of 100 x 60 mm as it stands by a record's ``hang``."""
    return suspension(content(root, record(drawing, keys=f"hang: {hang}"), materials={**ADDED, **(materials or {})}))


def stance(piece: Suspension) -> Stance:
    """How it stands."""
    assert piece.stance is not None
    return piece.stance


def refusal(root: Path, hang: str, drawing: str = PANE, materials: Mapping[str, Cells] | None = None) -> str:
    """What is said of a piece that cannot stand so."""
    with pytest.raises(MistakeError) as caught:
        stood(root, hang, drawing, materials)
    return str(caught.value)


def test_a_panel_on_two_feet(tmp_path: Path) -> None:
    """It is higher and heavier by its feet, has no rings, and tips over their depth by arctan(30 / height)."""
    panel = stood(tmp_path / "a", "{by: stand, material: foot}")
    on = stance(panel)
    assert (panel.rings, panel.ring, panel.ring_load_g, panel.hung_height_mm) == ((), None, 0, 65)
    assert panel.outer_mm == pytest.approx((100, 65, 60))
    assert panel.mass_g == pytest.approx(panel.body.mass_g + 24)
    assert on.footprint is not None
    assert on.tipping is not None
    assert on.footprint.size_mm == pytest.approx((100, 60))
    # Two equal halves: the centre of mass of glass, foil and solder lies in the middle, 30 mm high, over feet of 5 mm.
    assert on.centre_mm == pytest.approx((50, 35, 0), abs=1e-6)
    assert on.tipping.degrees == pytest.approx(math.degrees(math.atan(30 / 35)))
    assert on.tipping.side in ("front", "back")


def test_the_lightest_foot_that_stands_firm(tmp_path: Path) -> None:
    """Feet that no record names are the lightest on which the piece stands at 10 degrees; else the firmest."""
    chosen = stood(tmp_path / "a", "{by: stand, feet: 2}").hanger
    assert chosen is not None
    assert chosen.material == "foot"
    narrow = {"foot": {**FOOT, "width_mm": "9"}}
    chosen = stood(tmp_path / "b", "{by: stand, feet: 2}", materials=narrow).hanger
    assert chosen is not None
    assert chosen.material == "foot"


def test_a_tray_on_its_back(tmp_path: Path) -> None:
    """The main drawing is its floor: its depth is that of the drawing, its height that of the walls."""
    piece = suspension(content(tmp_path, tray("{by: stand, down: back}")))
    on = stance(piece)
    # Half of the floor's glass of 3 mm, and its bead of 1 mm, lie below the drawing's plane.
    assert (piece.width_mm, piece.height_mm, piece.depth_mm) == pytest.approx((100, 40 + 1.5 + 1, 60))
    assert on.footprint is not None
    assert on.footprint.size_mm == pytest.approx((100, 60))
    assert on.centre_mm[0] == pytest.approx(50)
    assert 0 < on.centre_mm[1] < 20
    assert on.tipping is not None
    assert on.tipping.degrees == pytest.approx(math.degrees(math.atan(30 / on.centre_mm[1])))


def test_a_tray_upside_down(tmp_path: Path) -> None:
    """On the upper edges of its walls it stands as wide, and its weight lies higher."""
    upright = stance(suspension(content(tmp_path / "a", tray("{by: stand, down: back}"))))
    turned = stance(suspension(content(tmp_path / "b", tray("{by: stand, down: front}"))))
    assert upright.footprint is not None
    assert turned.footprint is not None
    assert turned.footprint.size_mm == pytest.approx(upright.footprint.size_mm)
    assert turned.centre_mm[1] == pytest.approx(40 + 2.5 - upright.centre_mm[1])


def test_feet_are_used_and_charged(tmp_path: Path) -> None:
    """One item takes its feet, and no ring."""
    text = record(PANE, keys="hang: {by: stand, material: foot}")
    (variant,) = calculations(content(tmp_path, text, materials=ADDED))
    lines = {line.key: line.quantity for line in variant.cost.lines if line.group == "hanging"}
    assert lines == {"foot": 2}


def test_a_rod(tmp_path: Path) -> None:
    """Of a rod of 300 mm a third goes into the soil and 30 mm are soldered along the seam that it runs up."""
    piece = stood(tmp_path, "{by: stake, length: 300 mm, material: rod}")
    on = stance(piece)
    assert (on.held_at, on.soldered_mm, on.in_soil_mm) == ((50, 60), 30, 100)
    assert on.contact_mm == pytest.approx(30, abs=0.01)
    assert on.height_mm == pytest.approx(60 + 300 - 30 - 100)
    assert piece.outer_mm == pytest.approx((100, 60 + 300 - 30, 5))
    # 3 mm of brass at 8.5 g/cm3: pi / 4 x 9 mm2 x 8.5 = 60.08 g a metre.
    assert piece.hanger_mass_g == pytest.approx(math.pi / 4 * 9 * 8.5 * 0.3)
    assert on.wind_m_s is None


@pytest.mark.parametrize(("seams", "nearest"), [((20, 60), 60), ((45, 80), 45)])
def test_a_rod_stands_at_the_seam_below_the_weight(tmp_path: Path, seams: tuple[int, int], nearest: int) -> None:
    """Of the seams that end on the lower rim, the one nearest to below the centre of mass takes the rod."""
    places = (seams[0] / 2, sum(seams) / 2, (seams[1] + 100) / 2)
    words = ("left", "right", "left")
    drawing = '<rect width="100" height="60" data-glass="left"/>'
    drawing += "".join(f'<line x1="{x}" y1="0" x2="{x}" y2="60"/>' for x in seams)
    drawing += "".join(
        f'<text x="{x}" y="30" data-glass="{word}">{number}</text>'
        for number, (x, word) in enumerate(zip(places, words, strict=True), 1)
    )
    piece = stood(tmp_path, "{by: stake, length: 300 mm, material: rod}", drawing)
    assert stance(piece).held_at == pytest.approx((nearest, 60))


def test_a_rod_outdoors(tmp_path: Path) -> None:
    """Gusts bend it where their push times the height of the centre over the soil is what the rod holds."""
    strong = {"rod": {**ROD, "strength_mpa": "400"}}
    hang = "{by: stake, length: 300 mm, material: rod, outdoors: true}"
    piece = stood(tmp_path, hang, materials=strong)
    on = stance(piece)
    assert on.wind_m_s is not None
    push = push_n(piece.area_mm2, on.wind_m_s)
    assert on.centre_mm[1] == pytest.approx(30 + 170, abs=1)
    assert push * on.centre_mm[1] == pytest.approx(math.pi / 32 * 27 * 400)
    assert on.wind_m_s < GALE_M_S


def test_a_clip(tmp_path: Path) -> None:
    """A clip of 30 mm adds its height and its mass."""
    piece = stood(tmp_path, "{by: clip}")
    assert stance(piece).height_mm == 90
    assert piece.outer_mm == pytest.approx((100, 90, 5))
    assert piece.mass_g == pytest.approx(piece.body.mass_g + 8)


def test_a_ring_mark_is_refused(tmp_path: Path) -> None:
    """A piece that stands has no ring; the place of the mark is told."""
    said = refusal(tmp_path, "{by: stand, material: foot}", PANE + PANE_RING)
    assert "a ring is marked at x 50.0, y 0.0, but the record says `by: stand`" in said
    assert "take the ring out, or write `by: ring` under `hang:`" in said


def test_an_edge_alone_is_refused(tmp_path: Path) -> None:
    """A flat panel without feet falls over, and is told what would hold it."""
    said = refusal(tmp_path, "{by: stand}")
    assert "it stands on an edge alone and falls over: what touches the ground is 100 x 0 mm" in said
    assert "give it feet that lie across it" in said


def test_a_centre_of_mass_outside_is_refused(tmp_path: Path) -> None:
    """A panel whose foot stands under one end of it falls to the other side."""
    leaning = (
        '<polygon points="0,0 100,0 100,20 30,20 20,60 0,60" data-glass="left"/>'
        '<polygon points="100,0 140,0 140,20 100,20" data-glass="right"/>'
    )
    said = refusal(tmp_path, "{by: stand, material: foot}", leaning)
    assert "it falls over to the right: its centre of mass lies" in said
    assert "set it on wider feet or a wider base" in said


def test_no_foot_in_the_table(tmp_path: Path) -> None:
    """A record that asks for feet without a name needs a row of that kind."""
    with pytest.raises(MistakeError, match=r"materials\.csv has no material of the kind foot"):
        suspension(content(tmp_path, record(PANE, keys="hang: {by: stand, feet: 2}")))


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ("length: 100 mm, in_soil: 80 mm", "the rod of 100 mm is too short: 30 mm are soldered to the piece and 80 mm"),
        ("length: 40 mm", "the rod of 40 mm is too short: 30 mm are soldered to the piece and 13 mm go into the soil"),
        ("length: 45 mm", "the rod of 45 mm is too short: 30 mm are soldered to the piece and 15 mm go into the soil"),
        ("length: 200 mm, soldered: 90 mm", "90 mm of the rod cannot be soldered to a piece 60 mm high"),
    ],
)
def test_a_rod_too_short(tmp_path: Path, keys: str, words: str) -> None:
    """A rod needs more length than what is soldered and what goes into the soil."""
    assert words in refusal(tmp_path, f"{{by: stake, material: rod, {keys}}}")


def test_a_rod_too_thin(tmp_path: Path) -> None:
    """A wire of 1 mm does not carry the pane, leaning a little, with the safety factor."""
    thin = {"rod": {**ROD, "diameter_mm": "1", "strength_mpa": "210"}}
    said = refusal(tmp_path, "{by: stake, length: 300 mm, material: rod}", materials=thin)
    assert "the rod 'rod' of 1.0 mm is too thin: with the safety factor it must hold" in said
    assert "take a thicker rod" in said


def test_a_rod_bends_under_what_stands_forward(tmp_path: Path) -> None:
    """The moment at the soil grows with the distance of the centre of mass in front of the rod: force times arm."""
    ledge = '<line data-mark="join" data-part="ledge" x1="0" y1="0" x2="100" y2="0"/>'
    block = f"```svg ledge\n<svg xmlns='http://www.w3.org/2000/svg' {WALL_BOX}>{WALL.format(100)}</svg>\n```\n"
    keys = "hang: {by: stake, length: 300 mm, material: rod}\nparts:\n  ledge: {set_at: [90]}"
    text = record(PANE + ledge, keys=keys) + "\n" + block
    weightless = {**ROD, "density_g_cm3": "0.001"}
    (tmp_path / "thick").mkdir()
    piece = suspension(content(tmp_path / "thick", text, materials={"rod": {**weightless, "diameter_mm": "6"}}))
    aside, above, forward = stance(piece).centre_mm
    assert abs(forward) > 5
    arm = math.hypot(aside, forward) + above * math.sin(math.radians(10))
    needed = 5 * piece.body.mass_g / 1000 * 9.80665 * arm
    (tmp_path / "thin").mkdir()
    thin = {"rod": {**weightless, "diameter_mm": "1", "strength_mpa": "210"}}
    with pytest.raises(MistakeError) as caught:
        suspension(content(tmp_path / "thin", text, materials=thin))
    said = re.search(r"must hold (\d+) N mm", str(caught.value))
    assert said is not None
    assert int(said[1]) == pytest.approx(needed, rel=0.01)


@pytest.mark.parametrize("hang", ["{by: stake, length: 300 mm, material: rod}", "{by: clip}"])
def test_no_seam_below(tmp_path: Path, hang: str) -> None:
    """Nothing is soldered to the foil of one piece alone."""
    level = (
        '<rect width="100" height="60" data-glass="left"/><line x1="0" y1="30" x2="100" y2="30"/>'
        '<text x="50" y="15" data-glass="left">1</text><text x="50" y="45" data-glass="right">2</text>'
    )
    said = refusal(tmp_path, hang, level)
    assert "no seam ends on the lower rim" in said
    assert "lead a seam down to the lower rim, near x 50.0 of the drawing" in said


def test_a_clip_too_weak(tmp_path: Path) -> None:
    """A clip must be sold for the weight times the safety factor."""
    weak = {"clip": {**CLIP, "rated_load_g": "100"}}
    assert "no clip of materials.csv holds this piece" in refusal(tmp_path, "{by: clip}", materials=weak)
