"""What holds a ring: the solder round it, or the wire that carries it."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from catalog_builder.mistake import MistakeError
from catalog_builder.piece.hanging.strength import joint_holds_n, newtons, wire_holds_n
from catalog_builder.records.material import Material
from tests.studio import content, suspension

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
        assert suspension(studio).ring.material == "ring-small"
    else:
        with pytest.raises(MistakeError, match="the solder round the ring holds about"):
            suspension(studio)
