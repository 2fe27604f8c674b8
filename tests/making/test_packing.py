"""A hung piece made ready to send: how much room it takes, and what is told where nothing takes it."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.making.packing import Packer
from catalog_builder.records.content import Content, read_content
from tests import studio

BOXES = "box,title,inner_length_mm,inner_width_mm,inner_depth_mm,mass_g,holds_g,padding_mm\n"
FLAT = "flat,Flat box,180,130,60,90,500,15\n"
POSTAGE = "carrier,band,most_length_mm,most_girth_mm,most_mass_g,price\n"


def read(root: Path, boxes: str = BOXES + FLAT, postage: str = "", keys: str = "", parcel: str = "") -> Content:
    """A studio with boxes and postage, and one product: a pane of 100 x 60 mm."""
    project = studio.project(root, {"pane": studio.record(keys=keys)}, {"parcel": parcel} if parcel else None)
    for name, text in (("boxes", boxes), ("postage", postage)):
        if text:
            (project / "content" / f"{name}.csv").write_text(text, encoding="utf-8")
    return read_content(project, studio.DAY)


def packer_of(content: Content) -> Packer:
    """What packs the studio's pieces."""
    return studio.calculator(content).packer


def sides_of(content: Content) -> tuple[float, float, float]:
    """How much room the product takes."""
    return packer_of(content).sides(studio.suspension(content))


def packed(content: Content) -> tuple[object, tuple[str, ...]]:
    """The product's parcel and the codes of what is told of it."""
    suspension = studio.suspension(content)
    parcel, findings = packer_of(content).pack(content.products[0], suspension)
    return parcel, tuple(finding.code for finding in findings)


def test_a_piece_takes_the_room_of_glass_beads_and_ring(tmp_path: Path) -> None:
    """100 x 60 mm of 3 mm glass, beads 1 mm proud all round and on both faces, a ring of 6 mm: 102 x 68 x 5 mm."""
    assert sides_of(read(tmp_path)) == pytest.approx((102, 68, 5))


@pytest.mark.parametrize(("diameter", "depth"), [("4", 5), ("12", 12)])
def test_a_ring_may_stand_across_the_glass(tmp_path: Path, diameter: str, depth: float) -> None:
    """A ring that is wider than the piece is deep makes it so deep; a narrower one lies within its depth of 5 mm."""
    project = studio.project(tmp_path, {"pane": studio.record()}, materials={"ring-small": {"diameter_mm": diameter}})
    assert sides_of(read_content(project, studio.DAY)) == pytest.approx((102, 68, depth))


@pytest.mark.parametrize("keys", ["hang: {by: hook}", "hang: {by: cord, length: 300 mm}"])
def test_coiled_hardware_takes_room_on_the_glass(tmp_path: Path, keys: str) -> None:
    """A hook, or a cord coiled up, makes the piece thicker by what the studio allows, however long the cord is."""
    assert sides_of(read(tmp_path / "a", keys=keys)) == pytest.approx((102, 68, 11))
    assert sides_of(read(tmp_path / "b", keys=keys, parcel="coil_mm = 20")) == pytest.approx((102, 68, 25))


def test_a_parcel_weighs_piece_hardware_and_box(tmp_path: Path) -> None:
    """The parcel's mass is the most that the piece may weigh with its hook, and the box's; its sides are the box's."""
    content = read(tmp_path, keys="hang: {by: hook}")
    suspension = studio.suspension(content)
    (variant, *_) = studio.calculations(content)
    assert variant.packed is not None
    assert variant.packed.mass_g == pytest.approx(suspension.mass_g + suspension.mass_uncertainty_g + 90)
    assert (variant.packed.sides_mm, variant.packed.band) == ((186, 136, 66), None)


def test_without_a_table_of_boxes_nothing_is_said(tmp_path: Path) -> None:
    """A studio that keeps no boxes.csv is told nothing of parcels."""
    content = read(tmp_path, boxes="")
    assert packed(content) == (None, ())
    (variant, *_) = studio.calculations(content)
    assert (variant.offer.parcel, variant.offer.by_hand) == (None, False)


@pytest.mark.parametrize("row", ["tiny,Tiny box,120,80,40,60,500,15\n", "weak,Weak box,300,200,60,60,20,15\n"])
def test_a_piece_that_no_box_takes_goes_by_hand(tmp_path: Path, row: str) -> None:
    """Too large or too heavy for every box: a finding, not a mistake, and the buyer reads that it is handed over."""
    content = read(tmp_path, boxes=BOXES + row)
    assert packed(content) == (None, ("S01",))
    (variant, *_) = studio.calculations(content)
    assert (variant.offer.parcel, variant.offer.by_hand) == (None, True)


def test_a_parcel_that_no_band_carries_is_told(tmp_path: Path) -> None:
    """186 + 2 x (136 + 66) = 590 mm of length and girth: a band up to 590 carries it, one up to 589 is told."""
    parcel, findings = packed(read(tmp_path / "a", postage=POSTAGE + "Carter,small,,590,2000,3.10\n"))
    assert findings == ()
    assert parcel is not None
    parcel, findings = packed(read(tmp_path / "b", postage=POSTAGE + "Carter,small,,589,2000,3.10\n"))
    assert findings == ("S02",)
    assert parcel is not None


@pytest.mark.parametrize(("share", "band"), [(0.9, "large"), (1.1, "small")])
def test_postage_goes_by_the_most_that_a_piece_may_weigh(tmp_path: Path, share: float, band: str) -> None:
    """A band carries a parcel only if it does so at the upper end of what is known of the weight."""
    hung = studio.suspension(read(tmp_path / "free"))
    most = 90 + hung.mass_g + share * hung.mass_uncertainty_g
    bands = f"Carter,small,450,,{most:.2f},3.10\nCarter,large,450,,2000,5.10\n"
    (variant, *_) = studio.calculations(read(tmp_path / "sent", postage=POSTAGE + bands))
    assert variant.packed is not None
    assert variant.packed.band is not None
    assert variant.packed.band.band == band


@pytest.mark.parametrize(("parcel", "shown"), [("show_postage = true", "3.10"), ("coil_mm = 6", None)])
def test_postage_is_shown_on_the_makers_word_alone(tmp_path: Path, parcel: str, shown: str | None) -> None:
    """The band and its price reach what a buyer may see only where the studio says so."""
    content = read(tmp_path, postage=POSTAGE + "Carter,small,450,,2000,3.10\n", parcel=parcel)
    (variant, *_) = studio.calculations(content)
    parcel_shown = variant.offer.parcel
    assert parcel_shown is not None
    postage = parcel_shown.postage
    assert (str(postage) if postage is not None else None) == shown
    assert bool(parcel_shown.band) is (shown is not None)


def test_packing_costs_what_it_cost(tmp_path: Path) -> None:
    """A table of boxes and of postage changes no cost and no price: packing is charged by materials.csv alone."""
    postage = POSTAGE + "Carter,small,450,,2000,3.10\n"
    plain, boxed = (
        studio.calculations(read(tmp_path / name, boxes=boxes, postage=sent))[0]
        for name, boxes, sent in (("a", "", ""), ("b", BOXES + FLAT, postage))
    )
    assert plain.cost == boxed.cost
    assert plain.prices == boxed.prices
