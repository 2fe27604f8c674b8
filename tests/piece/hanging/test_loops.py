"""Wires along the rim: where they run, what they hold, and which records get one."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from shapely import LineString

from catalog_builder.mistake import MistakeError
from catalog_builder.piece.hanging.proposal import propose_rings
from catalog_builder.piece.hanging.rim_way import FOOT_MM, way_along_rim
from catalog_builder.records.hardware_kind import HardwareKind
from tests.piece.hanging.test_proposal import SINGLE_PIECE, STRONG, strips
from tests.piece.hanging.test_suspension import ring
from tests.studio import content, makings, record, suspension

# 20 AWG, by ASTM B258: 0.8118 mm.
WIRE_MM = 0.8118


@pytest.mark.parametrize(
    ("lines", "x", "begins", "ends"),
    [
        # Past the nearest seam on each side, by the length of a foot.
        ((20, 80), 50, (10, 0), (90, 0)),
        ((40, 60), 50, (30, 0), (70, 0)),
        # Round the corner, where the seam's end is nearer to it than a foot is long.
        ((20, 95), 50, (10, 0), (100, 5)),
        # A ring on a seam's end still takes the next ones, as its own is its seat.
        ((20, 50, 80), 50, (10, 0), (90, 0)),
    ],
)
def test_the_way_along_the_rim(
    tmp_path: Path, lines: tuple[float, ...], x: float, begins: tuple[float, float], ends: tuple[float, float]
) -> None:
    """Both sides run along the rim past the end of a seam, so that two pieces hold each."""
    made = makings(content(tmp_path, strips(*lines)))[0]
    way = way_along_rim(made.main, (x, 0))
    assert sorted((way[0], way[-1])) == [pytest.approx(begins), pytest.approx(ends)]
    rim = LineString([(0, 60), (0, 0), (100, 0), (100, 60)])
    assert rim.buffer(0.01).contains(LineString(way))


@pytest.mark.parametrize("solid", [True, False])
def test_right_round(tmp_path: Path, solid: bool) -> None:
    """A rim that no seam meets, or one whose ends are near each other the long way, has the wire right round it."""
    text = record(SINGLE_PIECE, glass="{left: reed}") if solid else strips(50)
    made = makings(content(tmp_path, text))[0]
    way = LineString(way_along_rim(made.main, (50, 0)))
    assert way.is_closed
    assert way.length == pytest.approx(320)


@pytest.mark.parametrize(("strength", "weakest"), [("3", "wire"), ("0.5", "solder")])
def test_what_a_loop_holds(tmp_path: Path, strength: str, weakest: str) -> None:
    """By hand: each leg runs 40 mm along the rim, over half the wire's round; the wire breaks at its section.

    pi / 4 x 0.8118^2 x 210 MPa = 108.7 N; pi x 0.8118 / 2 x 40 x 0.5 MPa = 25.5 N. Each leg is taken to carry all.
    """
    studio = content(tmp_path, strips(20, 80), materials={**STRONG, "solder": {"strength_mpa": strength}})
    found = studio.studio
    loop = propose_rings(
        makings(studio)[0], studio.products[0], studio.materials, studio.day, found.making, found.hanging
    ).loop
    assert loop is not None
    by_hand = {"wire": math.pi / 4 * WIRE_MM**2 * 210, "solder": math.pi * WIRE_MM / 2 * (30 + FOOT_MM) * 0.5}
    assert loop.holds_n == pytest.approx(by_hand[weakest], rel=1e-3)
    assert loop.load_n == pytest.approx(loop.loads_g[0] / 1000 * 9.80665)


def test_a_loop_too_weak_is_refused(tmp_path: Path) -> None:
    """Where the solder along a loop breaks under the load times the safety factor, that is an error."""
    weak = {**STRONG, "solder": {"strength_mpa": "0.01"}}
    text = strips(20, 80, keys="hang: {by: loop}", marks=ring(50, 0))
    with pytest.raises(MistakeError, match="the solder along the ring's wire holds about 1 N"):
        suspension(content(tmp_path, text, materials=weak))


def test_a_ring_on_a_loop_needs_no_seam(tmp_path: Path) -> None:
    """A ring on the foil of one piece is refused, and the line that is told makes a loop of it at the same place."""
    with pytest.raises(MistakeError, match=r"keep it there on a wire along the rim[^`]*`hang: \{by: loop\}`"):
        suspension(content(tmp_path / "bare", strips(20, 80, marks=ring(52, 0))))
    hung = suspension(content(tmp_path / "loop", strips(20, 80, keys="hang: {by: loop}", marks=ring(52, 0))))
    assert hung.hung_by is HardwareKind.LOOP
    assert hung.rings[0] == pytest.approx((52, -5))


def test_the_wire_that_is_told_for_a_hook(tmp_path: Path) -> None:
    """For a piece on a hook the message tells the points of a wire along the rim; pasted, it carries the ring."""
    text = strips(20, 80, keys="hang: {by: hook}", marks=ring(52, 0))
    with pytest.raises(MistakeError, match=r"`marks: \{wires: ") as told:
        suspension(content(tmp_path / "bare", text))
    line = told.value.mistakes[0].mend.partition("`")[2].partition("`")[0]
    hung = suspension(content(tmp_path / "wire", text.replace("hang: {", f"{line}\nhang: {{")))
    assert hung.rings[0] == pytest.approx((52, 0))
    assert hung.hung_by is HardwareKind.HOOK
    assert hung.body.share("wire") == pytest.approx(0.080 * 4.602, rel=1e-3)


def test_a_loop_of_another_wire(tmp_path: Path) -> None:
    """The record may name the wire that its loop is bent from; it is a wire of materials.csv."""
    thick = {
        "thick": {"kind": "wire", "pack_size": "10", "pack_unit": "m", "diameter_mm": "2", "density_g_cm3": "8.96"}
    }
    text = strips(20, 80, keys="hang: {by: loop, material: thick}", marks=ring(50, 0))
    studio = content(tmp_path, text, materials=thick)
    assert set(makings(studio)[0].wires) == {"thick"}
    with pytest.raises(MistakeError, match=r"the wire 'hook' is not in materials\.csv"):
        content(tmp_path / "hook", text.replace("material: thick", "material: hook"), materials=thick)


def test_a_loop_off_the_rim(tmp_path: Path) -> None:
    """A ring that its loop cannot reach is refused, with the nearest place on the rim."""
    text = strips(20, 80, keys="hang: {by: loop}", marks=ring(50, 8))
    with pytest.raises(MistakeError, match=r"is not on the rim[\s\S]*nearest place of the rim is x 50\.0, y 0\.0"):
        suspension(content(tmp_path, text))


@pytest.mark.parametrize(("line", "by"), [(51, HardwareKind.RING), (45, HardwareKind.LOOP)])
def test_which_records_get_a_loop(tmp_path: Path, line: float, by: HardwareKind) -> None:
    """A record without a ring hangs by a seam's end if that is level enough, else by a loop above its weight."""
    hung = suspension(content(tmp_path, strips(line)))
    assert hung.hung_by is by
    assert abs(hung.tilt_degrees) <= 2
    assert hung.rings[0][0] == pytest.approx(line if by is HardwareKind.RING else 50, abs=0.3)


def test_no_place_at_all(tmp_path: Path) -> None:
    """Two panes on a wire, with nothing above their weight and no seam, have no place for a ring."""
    drawing = (
        '<rect width="30" height="60" data-glass="left"/><rect x="70" width="30" height="60" data-glass="left"/>'
        '<path data-mark="wire" d="M20,30 H80"/>'
    )
    with pytest.raises(MistakeError, match="no glass is straight above it, so there is no place for a ring"):
        suspension(content(tmp_path, record(drawing, glass="{left: reed}")))
