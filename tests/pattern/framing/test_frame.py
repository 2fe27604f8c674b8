"""Frames in the plane: bars from corner to corner, their lengths, the outside and the light."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import shapely
from shapely import Point, Polygon, box

from catalog_builder.mistake import MistakeError
from catalog_builder.pattern.framing.frame import Frame, read_frame
from tests.studio import content, makings, record

ZINC = {
    "kind": "came",
    "pack_size": "3",
    "pack_unit": "m",
    "width_mm": "6",
    "thickness_mm": "6",
    "rebate_mm": "4",
    "slot_mm": "4",
    "alloy": "Zn100",
}


def framed(glass: Polygon, outside_mm: float = 2.0, covers_mm: float = 4.0) -> Frame:
    """A frame round one piece of glass."""
    frame = read_frame([glass], outside_mm, covers_mm)
    assert frame is not None
    return frame


def test_bars_of_a_rectangle_are_as_long_as_its_sides_and_two_mitres() -> None:
    """Four bars with mitres of half a right angle: outside each is longer by 2 x 2 mm, along the light shorter."""
    frame = framed(box(0, 0, 100, 60))
    assert sorted(bar.glass_mm for bar in frame.bars) == pytest.approx([60, 60, 100, 100])
    assert {(bar.begin_degrees, bar.end_degrees, bar.bends_at) for bar in frame.bars} == {(90.0, 90.0, None)}
    assert sorted(bar.length_at(2) for bar in frame.bars) == pytest.approx([64, 64, 104, 104])
    assert sorted(bar.length_at(-4) for bar in frame.bars) == pytest.approx([52, 52, 92, 92])
    assert frame.outside.bounds == pytest.approx((-2, -2, 102, 62))
    assert frame.light.bounds == pytest.approx((4, 4, 96, 56))
    assert frame.face.area == pytest.approx(104 * 64 - 92 * 52)


def test_inside_corner_shortens_the_outer_side() -> None:
    """At the inside corner of an L the mitre takes off outside what it takes off inside at the others."""
    glass = Polygon([(0, 0), (100, 0), (100, 40), (50, 40), (50, 100), (0, 100)])
    frame = framed(glass)
    (inside,) = [bar for bar in frame.bars if bar.begin_at == (50, 40)]
    assert (inside.begin_degrees, inside.end_degrees) == pytest.approx((-90, 90))
    assert inside.length_at(2) == pytest.approx(60)
    assert frame.length_at(2) == pytest.approx(400 + 2 * 2 * 4)
    assert frame.corners == 6


@pytest.mark.parametrize("out_mm", [-4.0, 0.0, 2.0, 9.5])
@pytest.mark.parametrize(
    "glass",
    [
        box(0, 0, 100, 60),
        Polygon([(0, 0), (120, 20), (90, 90), (10, 70)]),
        Point(0, 0).buffer(50, quad_segs=64),
        Polygon([(0, 0), (80, 0), *((40 + 40 * math.cos(t / 50), 90 + 40 * math.sin(t / 50)) for t in range(158))]),
    ],
    ids=["rectangle", "four corners", "disc", "arch"],
)
def test_lengths_add_up_to_the_length_of_the_parallel_line(glass: Polygon, out_mm: float) -> None:
    """The bars together are as long as the line that a general geometry library draws round the rim (GEOS)."""
    frame = framed(glass)
    assert frame.length_at(out_mm) == pytest.approx(frame.line_at(out_mm).length, rel=1e-3)


def test_curves_are_found_between_corners() -> None:
    """The round top of an arch is a curved bar between two corners at its foot; a disc is one bar with one joint."""
    turns = [math.pi * step / 188 for step in range(1, 188)]
    top = [(50 - 50 * math.cos(turn), 50 - 50 * math.sin(turn)) for turn in turns]
    arch = Polygon([(0, 100), (0, 50), *top, (100, 50), (100, 100)])
    bars = framed(arch).bars
    assert [bar.bends_at is not None for bar in sorted(bars, key=lambda bar: bar.glass_mm)] == [False, True]
    (disc,) = framed(Point(0, 0).buffer(50, quad_segs=64)).bars
    assert disc.bends_at is not None
    assert disc.length_at(2) == pytest.approx(2 * math.pi * 52, rel=1e-3)


def test_field_without_glass_inside_keeps_its_own_rim(tmp_path: Path) -> None:
    """A frame takes in the outer rim alone: the rim of a hole has its bead still."""
    drawing = (
        '<rect width="100" height="100" data-glass="left"/><path data-mark="line" d="M40 40 H60 V60 H40 Z"/>'
        '<circle data-mark="open" cx="50" cy="50" r="1"/>'
    )
    square = 'width="100mm" height="100mm" viewBox="0 0 100 100"'
    text = record(drawing, square, "{left: reed}", "frame: {material: zinc}")
    (made,) = makings(content(tmp_path, text, materials={"zinc": ZINC}))
    assert made.rim_mm == pytest.approx(80)
    assert made.frame is not None
    assert made.frame.outside_mm == pytest.approx((104, 104))


@pytest.mark.parametrize(
    ("keys", "glass_mm"), [("sizes: {small: 200 mm}", 196.0), ("width: 150 mm", 146.0), ("", 100.0)]
)
def test_sizes_are_those_of_the_outside(tmp_path: Path, keys: str, glass_mm: float) -> None:
    """A size is the frame's outside, of which 2 mm on each side is no glass; a drawing without sizes is the glass."""
    found = content(tmp_path, record(keys=f"frame: {{material: zinc}}\n{keys}"), materials={"zinc": ZINC})
    (made,) = makings(found)
    assert made.main.pattern.width_mm == pytest.approx(glass_mm)
    assert made.frame is not None
    assert made.frame.outside_mm[0] == pytest.approx(glass_mm + 4)


def test_sizes_may_be_those_of_the_glass(tmp_path: Path) -> None:
    """``sizes: glass`` leaves the glass as large as the size says."""
    keys = "frame: {material: zinc, sizes: glass}\nsizes: {small: 200 mm}"
    (made,) = makings(content(tmp_path, record(keys=keys), materials={"zinc": ZINC}))
    assert made.main.pattern.width_mm == pytest.approx(200)


def test_drawing_without_a_size_is_as_wide_outside_as_its_first_size(tmp_path: Path) -> None:
    """A drawing without a physical size is drawn at the scale at which its frame is as wide as the first size."""
    keys = "frame: {material: zinc}\nsizes: {small: 104 mm, large: 204 mm}"
    text = record(box='viewBox="0 0 100 60"', keys=keys)
    small, large = makings(content(tmp_path, text, materials={"zinc": ZINC}))
    widths = [made.main.pattern.width_mm for made in (small, large)]
    assert widths == pytest.approx([100, 200])
    assert [made.main.pattern.enlarged for made in (small, large)] == pytest.approx([1, 2])


def test_light_that_falls_apart_is_told(tmp_path: Path) -> None:
    """A frame that covers all of a narrow panel is told, with what it covers."""
    wide = {**ZINC, "width_mm": "40", "rebate_mm": "35"}
    with pytest.raises(MistakeError, match="covers 35 mm of the glass all round"):
        makings(content(tmp_path, record(keys="frame: {material: zinc}"), materials={"zinc": wide}))


def test_mitres_lead_from_the_light_to_the_outside() -> None:
    """A rectangle's mitres are the lines on its corners at half a right angle."""
    mitres = framed(box(0, 0, 100, 60)).mitres
    ends = {tuple(map(tuple, shapely.get_coordinates(mitre).round(6).tolist())) for mitre in mitres}
    assert ((4.0, 4.0), (-2.0, -2.0)) in ends
    assert len(ends) == 4


@pytest.mark.parametrize(("sides", "bars"), [(18, 18), (30, 1)])
def test_a_turn_of_more_than_15_degrees_is_a_corner(sides: int, bars: int) -> None:
    """A panel of 18 sides turns by 20 degrees at each and is mitred there; one of 30 turns by 12 and is bent."""
    turns = [2 * math.pi * number / sides for number in range(sides)]
    glass = Polygon([(200 * math.cos(turn), 200 * math.sin(turn)) for turn in turns])
    assert len(framed(glass).bars) == bars
