"""A panel in a frame: its rim, its rings, what holds it, what it takes, and what a buyer reads."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.making.frame_bars import frame_bars
from catalog_builder.making.labour import read_times
from catalog_builder.making.quantities import read_measures
from catalog_builder.mistake import MistakeError
from catalog_builder.pattern.measured import measure
from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.pricing.calculation import listings_of
from tests.making.test_quantities import uses
from tests.studio import PANE, Cells, calculations, content, makings, record, suspension

CAME: Cells = {
    "kind": "came",
    "pack_size": "2",
    "pack_unit": "m",
    "width_mm": "6",
    "thickness_mm": "6",
    "rebate_mm": "4",
    "slot_mm": "4",
    "alloy": "Zn100",
    "loss_percent": "10",
}
LEAD: Cells = {**CAME, "alloy": "Pb100", "bends": "yes"}
STRIP: Cells = {
    "kind": "strip",
    "pack_size": "5",
    "pack_unit": "m",
    "width_mm": "4",
    "thickness_mm": "0.5",
    "density_g_cm3": "8.5",
}
FRAMED = record(keys="frame: {material: came}")


def test_framed_rim_has_foil_and_no_bead(tmp_path: Path) -> None:
    """The edge in the frame is foiled as any other, and takes no solder; seams stay."""
    (tmp_path / "bare").mkdir()
    (bare,) = makings(content(tmp_path / "bare"))
    (framed,) = makings(content(tmp_path, FRAMED, materials={"came": CAME}))
    assert (bare.rim_mm, framed.rim_mm) == pytest.approx((320, 0))
    assert framed.seam_mm == pytest.approx(bare.seam_mm)
    assert [tally.edge_mm for tally in framed.tallies.values()] == [tally.edge_mm for tally in bare.tallies.values()]


def test_only_glass_at_the_rim_must_go_into_the_slot(tmp_path: Path) -> None:
    """A thick piece in the middle of a panel does not touch the frame; one at its rim is refused."""
    middle = '<rect width="100" height="60" data-glass="left"/>'
    middle += '<rect x="{0}" y="20" width="20" height="20" data-glass="right"/>'
    materials = {"came": CAME, "slate": {"thickness_mm": "5"}, "foil-wide": {"width_mm": "9"}}
    for name, left in (("inside", 40), ("rim", 0)):
        (tmp_path / name).mkdir()
        text = record(middle.format(left), keys="frame: {material: came}")
        if name == "inside":
            (framed,) = makings(content(tmp_path / name, text, materials=materials))
            assert framed.pieces == 2
        else:
            with pytest.raises(MistakeError, match="slot"):
                makings(content(tmp_path / name, text, materials=materials))


def test_it_is_charged_by_the_metre(tmp_path: Path) -> None:
    """Bars of 2 x 104 and 2 x 64 mm, and a tenth that is lost: 0.3696 m."""
    used = uses(content(tmp_path, FRAMED, materials={"came": CAME}))
    assert used["came"].quantity == pytest.approx(Decimal("0.3696"))
    assert (used["came"].group, used["came"].material.unit) == ("frame", "m")


def test_it_weighs_along_the_middle_of_its_section(tmp_path: Path) -> None:
    """The section's middle lies 2.2 mm in from the outer side, 0.2 mm inside the rim: 2 x 99.6 and 2 x 59.6 mm."""
    (framed,) = makings(content(tmp_path, FRAMED, materials={"came": CAME}))
    assert framed.frame is not None
    # 20 mm2 of zinc at 7.14 g/cm3 (CRC Handbook of Chemistry and Physics): 142.8 g a metre.
    assert framed.frame.mass_g == pytest.approx(0.3184 * 142.8, rel=2e-3)


def test_a_bar_is_cut_from_one_length(tmp_path: Path) -> None:
    """A bar of 104 mm is cut from a length of 105 mm, and refused where 103 mm are bought."""
    for name in ("long", "short"):
        (tmp_path / name).mkdir()
    cells = {"long": {**CAME, "pack_size": "0.105"}, "short": {**CAME, "pack_size": "0.103"}}
    (framed,) = makings(content(tmp_path / "long", FRAMED, materials={"came": cells["long"]}))
    assert framed.frame is not None
    with pytest.raises(MistakeError, match="a bar of the frame is 104 mm long"):
        makings(content(tmp_path / "short", FRAMED, materials={"came": cells["short"]}))


def test_minutes_and_consumables_by_metre_and_corner(tmp_path: Path) -> None:
    """A step has 0.336 m and 4 corners; a pin in each corner is four pins."""
    tables = {"steps.frame": 'title = "Frame"\nbatch = 10\nframe_m = 10\ncorner = 2'}
    pin = {"kind": "consumable", "pack_size": "100", "pack_unit": "each", "use_amount": "1", "use_unit": "each"}
    materials = {"came": CAME, "pin": {**pin, "use_per": "corner"}}
    found = content(tmp_path, FRAMED, tables, materials)
    measures = read_measures(makings(found)[0])
    times = {step.name: step for step in read_times(found.studio, found.studio.finishes["bright"], measures, 5)}
    assert times["frame"].minutes == pytest.approx((Decimal(2) + Decimal("3.36") + 8) * Decimal("1.2"))
    assert uses(found)["pin"].quantity == 4


def test_step_of_a_frame_takes_nothing_without_one(tmp_path: Path) -> None:
    """Neither its set-up nor its waiting counts for a piece that has no frame."""
    tables = {"steps.frame": 'title = "Frame"\nbatch = 10\ncorner = 2\nwaiting = 30'}
    found = content(tmp_path, tables=tables)
    times = read_times(found.studio, found.studio.finishes["bright"], read_measures(makings(found)[0]), 5)
    (step,) = [step for step in times if step.name == "frame"]
    assert (float(step.minutes), float(step.waiting)) == (0.0, 0.0)


def test_rings_move_to_the_outer_edge(tmp_path: Path) -> None:
    """A ring at the rim sits 2 mm farther out, where the frame ends; the hung height is counted from there."""
    hung = suspension(content(tmp_path, FRAMED, materials={"came": CAME}))
    assert list(hung.rings) == [(50, -2)]
    assert (hung.width_mm, hung.height_mm) == pytest.approx((104, 64))
    assert hung.hung_height_mm == pytest.approx(64 + 6)


def test_without_a_mark_one_ring_sits_above_the_weight(tmp_path: Path) -> None:
    """The ring of a record that marks none sits on the frame's top, and the panel hangs level."""
    hung = suspension(content(tmp_path, record(PANE, keys="frame: {material: came}"), materials={"came": CAME}))
    ((x, y),) = hung.rings
    assert (x, y) == pytest.approx((hung.body.centre[0], -2))
    assert hung.tilt_degrees == pytest.approx(0, abs=1e-9)


def test_corners_that_do_not_hold_are_told(tmp_path: Path) -> None:
    """Each of two corners carries half: 20 mm2 of a metal that bears 0.01 MPa for years hold 0.2 N."""
    weak = {**CAME, "strength_mpa": "0.01"}
    with pytest.raises(MistakeError, match=r"the corner of the frame holds about 0 N"):
        suspension(content(tmp_path, FRAMED, materials={"came": weak}))


def test_strip_lies_in_the_place_of_solder(tmp_path: Path) -> None:
    """60 mm of strip weigh 60 x 2 mm2 x 8.5 g/cm3; as much solder by volume is left out. It is bought by the metre."""
    drawn = '<path data-mark="wire" data-material="strip" d="M50 0 V60"/>'
    (tmp_path / "bare").mkdir()
    bare = suspension(content(tmp_path / "bare")).body
    found = content(
        tmp_path, record(PANE + drawn + '<circle data-mark="ring" cx="50" cy="0" r="1"/>'), None, {"strip": STRIP}
    )
    body = suspension(found).body
    assert body.share("wire") == pytest.approx(0.060 * 2 * 8.5)
    assert bare.share("seam") - body.share("seam") == pytest.approx(0.060 * 2 * makings(found)[0].solder.density)
    assert uses(found)["strip"].quantity == pytest.approx(Decimal("0.06"))


def test_bars_of_a_batch_are_added_up(tmp_path: Path) -> None:
    """Three panels take six long bars and six short ones, the longest first, each with its mitres."""
    (made,) = makings(content(tmp_path, FRAMED, materials={"came": CAME}))
    assert made.frame is not None
    bars = frame_bars([(made.frame, 3)])
    assert [(bar.outer_mm, bar.inner_mm, bar.count, bar.begin_degrees, bar.end_degrees) for bar in bars] == [
        (104, 92, 6, 45, 45),
        (64, 52, 6, 45, 45),
    ]


@pytest.mark.parametrize(("cells", "warned"), [(CAME, False), (LEAD, True)], ids=["zinc", "lead"])
def test_frame_of_lead_is_a_caution(tmp_path: Path, cells: Cells, warned: bool) -> None:
    """A buyer reads what is round the panel, and of lead that it is lead."""
    found = content(tmp_path, FRAMED, materials={"came": {**cells, "shown_as": "grey came"}})
    (listing,) = listings_of(found.studio, found.materials.rows, calculations(found))
    assert (listing.frame, listing.frame_mm) == ("grey came", 6)
    assert ("lead_frame" in listing.cautions) is warned


def test_frame_keeps_a_panel_from_folding(tmp_path: Path) -> None:
    """A seam right across is told as a hinge of a bare panel, not of one in a frame."""
    (tmp_path / "bare").mkdir()
    codes = []
    for found in (content(tmp_path / "bare"), content(tmp_path, FRAMED, materials={"came": CAME})):
        product, making = found.products[0], found.studio.making
        (sized,) = read_sizes(product, making, found.materials)
        codes.append({finding.code for finding in measure(product, sized, making).findings})
    assert "G07" in codes[0]
    assert "G07" not in codes[1]


WOOD: Cells = {
    **dict.fromkeys(("pack_size", "play_mm"), "2"),
    "kind": "moulding",
    "pack_unit": "m",
    "width_mm": "15",
    "thickness_mm": "12",
    "rebate_mm": "7",
    "slot_mm": "6",
    "density_g_cm3": "0.5",
    "colour": "#8a6a45",
}
EYE: Cells = {
    "kind": "screw_eye",
    "pack_size": "10",
    "pack_unit": "each",
    "mass_g": "1.2",
    "length_mm": "9",
    "rated_load_g": "4000",
}


@pytest.mark.parametrize("by", ["ring", "cord", "screw_eye"])
def test_wood_is_held_by_screw_eyes(tmp_path: Path, by: str) -> None:
    """No ring is soldered to wood: whatever the record hangs it by, a screw eye goes into the frame."""
    hang = f"hang: {{by: {by}{', length: 100 mm' if by == 'cord' else ''}}}"
    text = record(keys=f"frame: {{material: wood}}\n{hang}")
    hung = suspension(content(tmp_path, text, materials={"wood": WOOD, "eye": EYE}))
    assert hung.ring is not None
    assert hung.ring.material == "eye"
    assert list(hung.rings) == [(50, -10)]


def test_a_ring_in_wood_stands_out_from_the_glass(tmp_path: Path) -> None:
    """Glass of 3 mm lies against the lip of wood 12 mm thick, in a rebate of 6 mm: 12 / 2 - 6 + 3 / 2 = 1.5 mm."""
    (framed,) = makings(content(tmp_path, record(keys="frame: {material: wood}"), materials={"wood": WOOD, "eye": EYE}))
    assert framed.frame is not None
    assert framed.frame.ring_forward_mm == pytest.approx(1.5, abs=0.1)
