"""Foil and glass: which foil a thickness takes, and what glass, foil and solder weigh."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.mistake import MistakeError
from catalog_builder.piece.bead import segment_mm2
from catalog_builder.piece.mass import Body
from tests.parts import FIN, RIGHT_EDGE, block, parted
from tests.studio import PANE, content, makings, record, suspension


@pytest.mark.parametrize(
    ("thickness", "wrap", "foil"),
    [
        ("3", "1", "foil-wide"),
        ("2.7", "1", "foil-narrow"),
        ("2.76", "1", "foil-narrow"),
        ("2.77", "1", "foil-wide"),
        ("3", "0.8", "foil-narrow"),
    ],
)
def test_narrowest_foil(tmp_path: Path, thickness: str, wrap: str, foil: str) -> None:
    """The narrowest foil is taken that wraps enough onto both faces of the thickest glass."""
    tables = {"making": f'solder = "solder"\nwire = "wire"\nfoil_wrap_mm = {wrap}'}
    materials = {"reed": {"thickness_mm": thickness}, "slate": {"thickness_mm": "2"}}
    assert makings(content(tmp_path, tables=tables, materials=materials))[0].foil.material == foil


def test_no_foil_wide_enough(tmp_path: Path) -> None:
    """Glass too thick for every foil is refused, with the width that it would take."""
    with pytest.raises(MistakeError, match=r"at least 6 mm wide"):
        makings(content(tmp_path, materials={"reed": {"thickness_mm": "4"}}))


def test_foil_by_name(tmp_path: Path) -> None:
    """A record may ask for a wider foil than the glass needs."""
    materials = {"reed": {"thickness_mm": "2"}, "slate": {"thickness_mm": "2"}}
    assert (
        makings(content(tmp_path, record(keys="foil: foil-wide"), materials=materials))[0].foil.material == "foil-wide"
    )


@pytest.mark.parametrize("k", [0.5, 1.0, 2.0])
def test_masses(tmp_path: Path, k: float) -> None:
    """Glass weighs area x thickness x density, foil its length with overlaps, solder its metres of bead."""
    tables = {"making": 'solder = "solder"\nwire = "wire"\nseam_height_mm = 1.2\nrim_height_mm = 0.9'}
    body = suspension(content(tmp_path, record(keys=f"width: {100 * k} mm"), tables)).body
    wide, high, gap = 50 * k - 0.4, 60 * k, 0.8
    assert body.share("glass") == pytest.approx(2 * wide * high * 3 * 2.5 / 1000)
    assert body.share("foil") == pytest.approx(2 * (2 * wide + 2 * high + 5) * 5.56 * 0.03 * 8.96 / 1000)
    density = 1 / (0.6 / 7.287 + 0.4 / 11.3)
    seam = 2 * segment_mm2(2 * 1.28 + gap, 1.2) + (gap - 2 * 0.03) * 3
    assert body.share("seam") == pytest.approx(60 * k / 1000 * seam * density)
    assert body.share("rim") == pytest.approx(320 * k / 1000 * (segment_mm2(2.56, 0.9) + segment_mm2(3, 0.9)) * density)
    assert body.share("joints") == pytest.approx(0.1)
    assert body.mass_g == pytest.approx(sum(part.mass_g for part in body.parts))
    assert body.centre == pytest.approx((50 * k, 30 * k), abs=0.5)


def test_drops_sit_along_seams_and_rims(tmp_path: Path) -> None:
    """Drops act at the middle of all lines: a seam of 60 mm at x 40 and rims of 320 mm about x 50."""
    drawing = PANE.replace('x1="50"', 'x1="40"').replace('x2="50"', 'x2="40"')
    (drops,) = [
        part
        for part in suspension(content(tmp_path, record(drawing, keys="solder_drops_g: 2.5"))).body.parts
        if part.name == "drops"
    ]
    assert (drops.x, drops.y) == pytest.approx(((60 * 40 + 320 * 50) / 380, 30))


def test_drops_grow_with_the_size(tmp_path: Path) -> None:
    """Twice as large as it is drawn, a piece takes twice the solder for drops."""
    text = record(keys="solder_drops_g: 2.5\nsizes: {large: 200 mm}")
    assert suspension(content(tmp_path, text)).body.share("drops") == pytest.approx(5)


def test_copies_of_a_part_count(tmp_path: Path) -> None:
    """A vane that is joined on twice takes its wire twice, and each join is soldered at both its ends."""
    fin = block("fin", FIN + '<path data-mark="wire" d="M20,10 v40"/>')
    (bare,) = makings(content(tmp_path / "bare"))
    (once,) = makings(content(tmp_path / "once", parted(RIGHT_EDGE, {"fin": "set_at: [90]"}, blocks=fin)))
    (twice,) = makings(content(tmp_path / "twice", parted(RIGHT_EDGE, {"fin": "set_at: [60, 120]"}, blocks=fin)))
    assert once.wires[""] == pytest.approx(40)
    assert twice.wires[""] == pytest.approx(80)
    assert once.joints == bare.joints + 2
    assert [(part.name, part.count) for part in twice.parts] == [("", 1), ("fin", 2)]


@pytest.mark.parametrize(("left", "right"), [(3, 3), (3, 2), (2, 3)])
def test_centre_of_glass(tmp_path: Path, left: int, right: int) -> None:
    """The centre of the glass leans to the side of the thicker one, by the lever rule on the two halves."""
    materials = {"reed": {"thickness_mm": str(left)}, "slate": {"thickness_mm": str(right)}}
    glass = [part for part in suspension(content(tmp_path, materials=materials)).body.parts if part.name == "glass"]
    x, y = Body(tuple(glass)).centre
    assert (x, y) == pytest.approx(((24.8 * left + 75.2 * right) / (left + right), 30))


@pytest.mark.parametrize(
    ("box", "width"),
    [
        ('width="100mm" height="60mm" viewBox="0 0 100 60"', ""),
        ('viewBox="0 0 100 60"', "width: 100 mm"),
        # A drawing without physical size is as large as the record says, whatever its units.
        ('viewBox="0 0 100 60"', "width: 250 mm"),
    ],
)
def test_drops(tmp_path: Path, box: str, width: str) -> None:
    """Decorative solder counts in grams as the record says, at the size at which the design is drawn."""
    assert suspension(content(tmp_path, record(box=box, keys=f"solder_drops_g: 2.5\n{width}"))).body.share(
        "drops"
    ) == pytest.approx(2.5)
