"""Strength, wind and how well a weight is known, against standards, handbooks and a draw of lots."""

from __future__ import annotations

import math
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from scipy import constants

from catalog_builder.mistake import MistakeError
from catalog_builder.piece.hanging.strength import joint_holds_n, newtons, wire_holds_n
from catalog_builder.piece.hanging.wind import (
    FORCE_COEFFICIENT,
    GALE_M_S,
    gale_times,
    peak_pressure_pa,
    push_n,
    swing_degrees,
)
from catalog_builder.piece.mass import Body, MassPart
from catalog_builder.piece.uncertainty import FLOAT_TOLERANCE_MM, expanded, mass_uncertainty_g
from catalog_builder.records.material import Material
from catalog_builder.records.studio import Hanging
from tests.studio import PANE, TABLES, content, record, suspension


def material(kind: str, **cells: str) -> Material:
    """A row of the table of materials."""
    usual = {"material": "one", "title": "One", "pack_size": "1", "pack_unit": "m"}
    return Material.model_validate({**usual, "kind": kind, **cells})


def test_the_usual_safety_factor() -> None:
    """Rigging is made with a design factor of 5 or more: ASME B30.26-2010, 26-1.2, as quoted (S2); an analogy only."""
    assert Hanging.model_validate({}).safety_factor >= 5


def test_newtons() -> None:
    """A kilogram pulls with standard gravity (3rd CGPM 1901), as scipy.constants has it (S2)."""
    assert newtons(1000) == constants.g


@pytest.mark.parametrize(
    ("gauge", "section_mm2", "breaks_n"),
    [
        # Sections by wire tables: 20 AWG 0.517 mm2 (S2), 18 AWG 0.823 mm2, 14 AWG 2.08 mm2 (M). Annealed copper
        # wire of 0.5 to 3 mm (A024 to A028) has a tensile strength of about 200 N/mm2: EN 13602, mechanical
        # properties, as a wire maker's page gives them (S2). ASTM B3 gives an elongation, and no strength.
        ("18", 0.823, 164.6),
        ("20", 0.517, 103.4),
        ("14", 2.08, 416.0),
    ],
)
def test_wire_breaks(gauge: str, section_mm2: float, breaks_n: float) -> None:
    """A wire breaks at its section times its tensile strength."""
    wire = material("wire", gauge_awg=gauge, density_g_cm3="8.89", strength_mpa="200")
    assert wire_holds_n(wire) == pytest.approx(section_mm2 * 200, rel=2e-3)
    assert wire_holds_n(wire) == pytest.approx(breaks_n, rel=2e-3)


def test_joint_shears() -> None:
    """Half of a wire 1.024 mm thick, sunk over 6 mm, has pi x 1.024 / 2 x 6 = 9.651 mm2 in shear: at 3 MPa 28.95 N.

    The diameter is that of gauge tables for 18 AWG (S2), the area plane geometry (C), the strength an assumed one.
    """
    solder = material("solder", alloy="Sn60Pb40", strength_mpa="3")
    ring = material("ring", gauge_awg="18", mass_g="0.4", length_mm="6", rated_load_g="1500")
    assert joint_holds_n(solder, ring, 6) == pytest.approx(28.95, rel=1e-3)


@pytest.mark.parametrize("bare", ["strength", "ring wire"])
def test_nothing_is_checked_without_a_strength(bare: str) -> None:
    """Where the table does not say how strong a solder is, or how thick a ring's wire, no hold is reckoned."""
    solder = material("solder", alloy="Sn60Pb40", **({} if bare == "strength" else {"strength_mpa": "3"}))
    gauge = {} if bare == "ring wire" else {"gauge_awg": "18"}
    ring = material("ring", mass_g="0.4", length_mm="6", rated_load_g="1500", diameter_mm="8", **gauge)
    assert joint_holds_n(solder, ring, 6) is None
    assert wire_holds_n(material("wire", gauge_awg="18", density_g_cm3="8.89")) is None


@pytest.mark.parametrize(
    ("drawing", "cells", "told"),
    [
        (PANE + '<circle data-mark="ring" cx="50" cy="0" r="1"/>', {"solder": {"strength_mpa": "0.2"}}, "solder round"),
        (
            PANE
            + '<path data-mark="wire" d="M50,0 C0,-40 100,-40 50,0"/><circle data-mark="ring" cx="50" cy="-30" r="1"/>',
            {"wire": {"strength_mpa": "2"}},
            "wire that the ring hangs on",
        ),
    ],
)
def test_a_weak_hold_is_refused(tmp_path: Path, drawing: str, cells: dict[str, dict[str, str]], told: str) -> None:
    """A ring whose solder or wire does not hold the load times the safety factor is refused."""
    gauge = {name: {"gauge_awg": "18"} for name in ("ring-small", "ring-large")}
    with pytest.raises(MistakeError, match=f"the {told}.* holds about [0-9]+ N"):
        suspension(content(tmp_path / "weak", record(drawing), materials={**gauge, **cells}))
    strong = {name: {"strength_mpa": "220"} for name in cells}
    assert suspension(content(tmp_path / "strong", record(drawing), materials={**gauge, **strong})).ring_load_g > 0


@pytest.mark.parametrize(
    ("speed_m_s", "height_m", "pressure_pa", "within"),
    [
        # A published calculation of a signboard 5.17 m above open ground (terrain II) and 1.86 m high, at 20 m/s, by
        # EN 1991-1-4, 7.4.3: an effective pressure of 0.921 kN/m2 with the force coefficient of 1.80 (S2).
        (20.0, 5.17 + 1.86 / 2, 921 / 1.80, 1e-3),
        # EN 1991-1-4:2005, figure 4.2: an exposure factor of 2.35 ten metres above terrain II, read off by eye (M).
        (20.0, 10.0, 2.35 * 250.0, 0.01),
    ],
)
def test_wind_pressure(speed_m_s: float, height_m: float, pressure_pa: float, within: float) -> None:
    """The peak velocity pressure counts gusts: (1 + 7 Iv) rho vm2 / 2, EN 1991-1-4:2005, 4.5, expression (4.8)."""
    assert peak_pressure_pa(speed_m_s, height_m) == pytest.approx(pressure_pa, rel=within)


def test_gale() -> None:
    """A gale, 20.7 m/s (Beaufort 8, WMO scale, M), pushes 1 dm2 with 1.80 x 629.9 Pa x 0.01 m2 = 11.34 N (C).

    1.80 is for signboards (EN 1991-1-4, 7.4.3 (2), S2 by a published worked example). It is above the 1.1 to 1.2 that
    tables of fluid mechanics print for a square plate (M).
    """
    assert (GALE_M_S, FORCE_COEFFICIENT) == (20.7, 1.80)
    assert push_n(10_000) == pytest.approx(11.34, abs=5e-3)


@pytest.mark.parametrize(("push", "weight", "times"), [(3.0, 4.0, 1.25), (12.0, 5.0, 2.6), (0.0, 2.0, 1.0)])
def test_load_in_a_gale(push: float, weight: float, times: float) -> None:
    """Weight and push stand at a right angle: 3 N and 4 N pull with 5 N (C)."""
    assert gale_times(10_000 * push / push_n(10_000), weight) == pytest.approx(times)


@pytest.mark.parametrize(("push", "weight", "degrees"), [(2, 2, 45), (3, 3 * math.sqrt(3), 30), (0, 1, 0)])
def test_swing(push: float, weight: float, degrees: float) -> None:
    """A piece swings until push and weight balance: as strong a push as its weight swings it to 45 degrees.

    Equilibrium of three forces (C); 30 degrees have a tangent of 1 / sqrt 3.
    """
    assert swing_degrees(push, weight) == pytest.approx(degrees)


def test_expanded() -> None:
    """Bounds of 3 and 4 g: each u = a / sqrt 3, together 5 / sqrt 3 = 2.887 g, twice that 5.774 g.

    JCGM 100:2008, 4.3.7 (u = a / sqrt 3), 5.1.2 (in quadrature), 6.2.1 (U = k u, here k = 2).
    """
    assert expanded([3.0, 4.0]) == pytest.approx(5.7735, abs=5e-5)


def glass(tolerance: str | None = None, thickness: str = "3") -> Material:
    """A sheet of glass."""
    cells = {} if tolerance is None else {"thickness_tolerance_mm": tolerance}
    return material("glass", thickness_mm=thickness, colour="#888888", **cells)


def sheets(*parts: tuple[str, float]) -> Body:
    """Pieces of glass, each of a sheet and a mass in g."""
    return Body(tuple(MassPart("glass", mass, 0, 0, of=name) for name, mass in parts))


def test_one_sheet_is_thick_throughout() -> None:
    """Two pieces of one sheet are off together, so that their bounds add up; float glass may be 0.2 mm off."""
    rows = {"a": glass(), "b": glass()}
    one = mass_uncertainty_g(sheets(("a", 30), ("a", 30)), rows, 0)
    assert one == pytest.approx(2 * 60 * FLOAT_TOLERANCE_MM / 3 / math.sqrt(3))
    two = mass_uncertainty_g(sheets(("a", 30), ("b", 30)), rows, 0)
    assert two == pytest.approx(one / math.sqrt(2))


@pytest.mark.parametrize(("tolerance", "share"), [("0.5", 0.5 / 4), ("0", 0.0), (None, 0.2 / 4)])
def test_the_sheets_own_tolerance(tolerance: str | None, share: float) -> None:
    """A sheet that says how far off it may be goes by that."""
    found = mass_uncertainty_g(sheets(("a", 100)), {"a": glass(tolerance, "4")}, 0)
    assert found == pytest.approx(2 * 100 * share / math.sqrt(3))


def test_against_lots_drawn(tmp_path: Path) -> None:
    """Sheets and solder drawn evenly within their bounds scatter by half of what is stated, within 2 %.

    JCGM 101:2008 propagates distributions by such draws (M); the draw here is numpy's, and knows no formula (C).
    """
    tables = {"making": TABLES["making"] + "\nsolder_uncertainty_percent = 25"}
    cells = {"reed": {"thickness_tolerance_mm": "0.4"}, "slate": {"thickness_tolerance_mm": "0.3"}}
    found = content(tmp_path, record(keys="width: 180 mm"), tables, cells)
    one = suspension(found)
    draw = np.random.default_rng(20310520)
    count = 200_000
    total = np.zeros(count)
    for name, bound_mm in (("reed", 0.4), ("slate", 0.3)):
        mass = sum(part.mass_g for part in one.body.parts if part.of == name)
        total += mass * draw.uniform(3 - bound_mm, 3 + bound_mm, count) / 3
    solder = sum(one.body.share(name) for name in ("seam", "rim", "joints", "drops"))
    total += solder * draw.uniform(0.75, 1.25, count)
    assert 2 * total.std() == pytest.approx(one.mass_uncertainty_g, rel=0.02)
    assert found.studio.making.solder_uncertainty_percent == Decimal(25)
