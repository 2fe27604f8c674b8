"""What holds a ring: the solder round it, or the wire that carries it."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from catalog_builder.mistake import MistakeError
from catalog_builder.piece.hanging.strength import joint_holds_n, newtons, wire_holds_n
from catalog_builder.piece.hanging.wire_legs import WireLeg, pulls_g
from catalog_builder.records.material import Material
from tests.piece.hanging.test_suspension import TWO_RINGS, panes, ring, wire
from tests.studio import PANE, content, record, ring_of, suspension

PACK = {"pack_size": "1", "pack_unit": "m"}


def material(kind: str, **cells: str) -> Material:
    """A material of a kind with some cells filled in."""
    return Material.model_validate({"material": kind, "title": kind, "kind": kind, **PACK, **cells})


def test_force_of_a_load() -> None:
    """A kilogram pulls with 9.80665 N: standard acceleration of free fall, exact (ISO 80000-3)."""
    assert newtons(1000) == 9.80665


def test_wire_holds_its_section_times_its_strength() -> None:
    """A wire of 2 mm has a section of pi mm2; at 200 MPa it breaks at 200 pi N. Status C."""
    assert wire_holds_n(material("wire", diameter_mm="2", strength_mpa="200")) == pytest.approx(200 * math.pi)
    assert wire_holds_n(material("wire", diameter_mm="2")) is None


def test_joint_holds_half_the_round_of_the_wire() -> None:
    """A ring of wire of 18 AWG, 1.0237 mm (ASTM B258), sunk in by 4 mm shears pi x 1.0237 / 2 x 4 mm2. Status C."""
    solder, ring = material("solder", strength_mpa="5"), material("ring", gauge_awg="18")
    assert joint_holds_n(solder, ring, 4) == pytest.approx(math.pi * 1.0237 / 2 * 4 * 5, rel=1e-4)
    assert joint_holds_n(material("solder"), ring, 4) is None
    # A ring's diameter is its own, not its wire's.
    assert joint_holds_n(solder, material("ring", diameter_mm="8"), 4) is None


@pytest.mark.parametrize(("share", "holds"), [(1.01, True), (0.99, False)])
def test_solder_must_hold_the_load_times_the_factor(tmp_path: Path, share: float, holds: bool) -> None:
    """Solder a little stronger than the load times the safety factor of 5 holds a ring; a little weaker is refused."""
    gauge = {"ring-small": {"gauge_awg": "18"}}
    free = content(tmp_path / "free", materials=gauge)
    sheared_mm2 = math.pi * 1.0237 / 2 * float(free.studio.making.ring_seat_mm)
    strength = newtons(suspension(free).ring_load_g) * 5 / sheared_mm2 * share
    studio = content(tmp_path / "held", materials={**gauge, "solder": {"strength_mpa": f"{strength:.6f}"}})
    if holds:
        assert ring_of(suspension(studio)).material == "ring-small"
    else:
        with pytest.raises(MistakeError, match="the solder round the ring holds about"):
            suspension(studio)


def test_each_leg_pulls_by_its_rise() -> None:
    """Two legs that rise at 30 degrees each pull as hard as the whole load, T = W / (2 sin a); flat ones far harder.

    A wire that is soldered down at its ring has no legs: there its solder carries all.
    """

    def pulls(*feet: tuple[float, float]) -> tuple[float, ...]:
        return pulls_g(tuple(WireLeg("", foot, 5.0) for foot in feet), (0.0, 0.0), 400)

    rise = 40 * math.tan(math.radians(30))
    assert pulls((-40, rise), (40, rise)) == pytest.approx((400, 400))
    assert pulls((-30, 30), (30, 30)) == pytest.approx((400 / math.sqrt(2),) * 2)
    # Straight across, the ring pulls it up by a tenth of its span: 8 mm over 80 mm.
    assert pulls((-40, 0), (40, 0)) == pytest.approx((400 / 2 * math.hypot(40, 8) / 8,) * 2)
    assert pulls((20, 30), (40, 30)) == (400, 400)
    assert pulls((1, 0), (-1, 0)) == (400, 400)


# An arch over the pane's two seams; its legs lie along the seams for 10 mm, and rise at 45 degrees.
ARCH = panes((20, 80)) + wire("M20,10 V0 L50,-30 L80,0 V10") + ring(50, -30)
WIRE_20_AWG_MM = 0.8118  # ASTM B258


@pytest.mark.parametrize(("share", "holds"), [(1.01, True), (0.9, False)])
def test_legs_of_a_wire_hold_as_a_rings_joint_does(tmp_path: Path, share: float, holds: bool) -> None:
    """Each leg is soldered along 10 mm and 1.5 mm of reach, and pulls with the load over 2 sin 45 degrees."""
    load = newtons(suspension(content(tmp_path / "free", record(ARCH))).ring_load_g)
    strength = load / math.sqrt(2) * 5 / (math.pi * WIRE_20_AWG_MM / 2 * (10 + 1.5 * math.sqrt(2))) * share
    studio = content(tmp_path / "held", record(ARCH), materials={"solder": {"strength_mpa": f"{strength:.6f}"}})
    if holds:
        assert ring_of(suspension(studio)).material == "ring-small"
    else:
        with pytest.raises(MistakeError, match="the solder along the ring's wire holds about"):
            suspension(studio)


# Solder with which a ring of 14 AWG holds, and one of 24 AWG does not.
THICKNESS = {
    "ring-small": {"gauge_awg": "24"},
    "ring-large": {"gauge_awg": "14"},
    "solder": {"strength_mpa": "0.4"},
}


def test_the_lightest_ring_that_passes_everything(tmp_path: Path) -> None:
    """Where the lightest ring by rated load is too thin for its solder, the next one that holds is taken."""
    assert ring_of(suspension(content(tmp_path, materials=THICKNESS))).material == "ring-large"


@pytest.mark.parametrize(("drawing", "advised"), [(PANE + ring(50, 0), True), (TWO_RINGS, False)])
@pytest.mark.parametrize(("strength", "keys"), [("0.01", ""), ("", "width: 900 mm")])
def test_two_rings_are_advised_to_a_piece_with_one(
    tmp_path: Path, drawing: str, advised: bool, strength: str, keys: str
) -> None:
    """Neither weak solder nor a weak ring makes the program advise what a piece already has."""
    materials = {**THICKNESS, "solder": {"strength_mpa": strength}}
    with pytest.raises(MistakeError) as refused:
        suspension(content(tmp_path, record(drawing, keys=keys), materials=materials))
    assert ("use two rings" in str(refused.value)) is advised
