"""Glass, metals, wire and solder against tables and standards."""

from __future__ import annotations

import math

import pytest

from catalog_builder.piece.bead import seam_mm2, segment_mm2
from catalog_builder.piece.mass import foil_parts, glass_parts
from catalog_builder.records.alloy import ELEMENT_DENSITY, alloy_density
from catalog_builder.records.material import Material
from catalog_builder.units import awg_diameter_mm
from tests.drawn import drawn


def material(**cells: str) -> Material:
    """A material by its cells."""
    return Material.model_validate({"material": "one", "title": "One", "pack_size": "1", "pack_unit": "m", **cells})


@pytest.mark.parametrize(
    ("wide", "high", "thickness", "grams"),
    [
        # Soda-lime silicate glass, 2500 kg/m3 at 18 degrees C: EN 572-1, general physical properties, as two
        # fabricators' pages give them (S2; the standard's own table not read).
        (100, 150, "3", 112.5),
        # A square foot of 3 mm. Status C.
        (304.8, 304.8, "3", 696.7728),
        # 2.5 kg/m2 for each millimetre. Status C.
        (1000, 1000, "1", 2500),
    ],
)
def test_glass(wide: float, high: float, thickness: str, grams: float) -> None:
    """Glass without a density of its own weighs 2.5 kg a square metre for each millimetre."""
    glass = material(kind="glass", thickness_mm=thickness)
    part = glass_parts(drawn(f'<rect width="{wide}" height="{high}"/>').cuts, {"any": glass})[0]
    assert part.mass_g == pytest.approx(grams, rel=1e-9)
    assert (part.x, part.y) == pytest.approx((wide / 2, high / 2))


def test_glass_by_the_row() -> None:
    """Glass that is no window glass goes by its row: at 2.60 g/cm3 a square metre of 3 mm weighs 7.8 kg.

    "Glass" has 2.60 in University Physics 1, ch. 14, table of densities (S); the mass is C.
    """
    glass = material(kind="glass", thickness_mm="3", density_g_cm3="2.60")
    part = glass_parts(drawn('<rect width="1000" height="1000"/>').cuts, {"any": glass})[0]
    assert part.mass_g == pytest.approx(7800, rel=1e-9)


@pytest.mark.parametrize(
    ("metal", "density", "within"),
    [
        # CRC Handbook, element data, by way of an element library (S2).
        ("Cu", 8.96, 1e-9),
        ("Sn", 7.287, 1e-9),
        ("Pb", 11.3, 1e-9),
        ("Zn", 7.134, 1e-9),
        ("Ag", 10.5, 1e-9),
        # Other tables: copper 8.92 in University Physics 1, ch. 14 (S); a web table of metals (S2).
        ("Cu", 8.92, 0.005),
        ("Sn", 7.28, 0.002),
        ("Pb", 11.34, 0.005),
        ("Zn", 7.135, 0.001),
        # Bismuth and antimony by the same element library (S2).
        ("Bi", 9.79, 1e-9),
        ("Sb", 6.68, 1e-9),
    ],
)
def test_elements(metal: str, density: float, within: float) -> None:
    """A metal's density is the handbook's, and other tables differ from it by under half a percent."""
    assert float(ELEMENT_DENSITY[metal]) == pytest.approx(density, rel=within)


@pytest.mark.parametrize(
    ("alloy", "mixed", "published"),
    [
        # Published: a manufacturer's data sheet and a compiled solder table, which agree (S both). Mixed by
        # mass: C.
        ("Sn60Pb40", 8.4935, 8.50),
        ("Sn63Pb37", 8.3894, 8.40),
        # The two differ: 8.87 stands in one sheet alone, 8.9 in a manufacturer's table of August 2007 (S both).
        ("Sn50Pb50", 8.8603, 8.87),
        ("Sn50Pb50", 8.8603, 8.9),
        # The compiled solder table alone (S).
        ("Sn99.3Cu0.7", 7.2965, 7.31),
        ("Sn97Cu3", 7.3280, 7.32),
        ("Sn96.5Ag3Cu0.5", 7.3615, 7.38),
    ],
)
def test_alloys(alloy: str, mixed: float, published: float) -> None:
    """A solder's density is its metals' mixed by mass, 1/rho = sum w/rho, within 0.5 % of tables."""
    density = material(kind="solder", alloy=alloy).density
    assert density == pytest.approx(mixed, abs=5e-5)
    assert density == pytest.approx(published, rel=5e-3)


def test_alloys_are_not_averaged() -> None:
    """60/40 solder is 4.6 % lighter than the mean of its metals' densities by mass, 8.892 g/cm3.

    Published: 8.50 (S, as above).
    """
    assert alloy_density("Sn60Pb40") < 0.96 * (0.6 * 7.287 + 0.4 * 11.3)


def test_brass() -> None:
    """Brass does not mix ideally.

    8.185 against 8.44 in University Physics 1, ch. 14 (S), so its row gives a density.
    """
    assert alloy_density("Cu63Zn37") == pytest.approx(8.185, abs=5e-4)
    assert abs(alloy_density("Cu63Zn37") / 8.44 - 1) > 0.025
    assert material(kind="wire", diameter_mm="1", density_g_cm3="8.44").density == 8.44


@pytest.mark.parametrize(
    ("gauge", "mm", "within"),
    [
        # ASTM B258: d = 0.127 mm x 92^((36 - n)/39) (S2, three pages; its equation not read). Ends of the
        # scale.
        (36, 0.127, 1e-12),
        (-3, 11.684, 1e-12),
        # Gauge tables (S2), three digits behind the point.
        (14, 1.628, 5e-4),
        (16, 1.291, 5e-4),
        (18, 1.024, 5e-4),
        (20, 0.812, 5e-4),
        (22, 0.644, 5e-4),
        (24, 0.511, 5e-4),
        # Tables that round to mils first print 0.0320 in, so 0.813 mm (S2).
        (20, 0.813, 1.3e-3),
        # University Physics 2, the drift velocity example (S).
        (12, 2.053, 6e-4),
    ],
)
def test_gauges(gauge: int, mm: float, within: float) -> None:
    """A wire's diameter by its American gauge is that of the tables."""
    assert awg_diameter_mm(gauge) == pytest.approx(mm, abs=within)


@pytest.mark.parametrize(("gauge", "mm2"), [(18, 0.823), (20, 0.517), (14, 2.08)])
def test_sections(gauge: int, mm2: float) -> None:
    """A wire's section is that of the tables, three digits (wire tables, S2; 18 and 14 AWG M)."""
    assert math.pi / 4 * awg_diameter_mm(gauge) ** 2 == pytest.approx(mm2, rel=1.5e-3)


@pytest.mark.parametrize("gauge", [0, 7, 18, 30])
def test_six_gauges(gauge: int) -> None:
    """Six gauges thinner, a wire has its diameter divided by 92^(6/39) = 2.0050 (C)."""
    assert awg_diameter_mm(gauge) / awg_diameter_mm(gauge + 6) == pytest.approx(2.0050, abs=5e-5)


@pytest.mark.parametrize(
    ("cells", "g_m", "within"),
    [
        # Copper wire by convention 8.89 g/cm3: ASTM B258, IEC 60028 (M). Masses C.
        ({"gauge_awg": "20", "density_g_cm3": "8.89"}, 4.602, 5e-4),
        ({"gauge_awg": "20", "density_g_cm3": "8.96"}, 4.638, 5e-4),
        ({"gauge_awg": "18", "density_g_cm3": "8.89"}, 7.317, 5e-4),
        # r = 1.20 mm at 8920 kg/m3: 0.040 kg/m, University Physics 1, ch. 16, an exercise (S); 0.040353 (C).
        ({"diameter_mm": "2.40", "density_g_cm3": "8.92"}, 40.353, 5e-4),
        # Solder wire of 3.2 mm at 8.5 (common practice, no source; C).
        ({"diameter_mm": "3.2", "density_g_cm3": "8.5"}, 68.4, 0.05),
    ],
)
def test_wire(cells: dict[str, str], g_m: float, within: float) -> None:
    """A metre of wire weighs its section times its density."""
    numbers: dict[str, object] = {
        **cells,
        **({"gauge_awg": int(cells["gauge_awg"])} if "gauge_awg" in cells else {}),
    }
    wire = Material.model_validate(
        {"material": "w", "title": "W", "kind": "wire", "pack_size": "1", "pack_unit": "m", **numbers}
    )
    assert wire.mass_per_m == pytest.approx(g_m, abs=within)


def test_solder_bead() -> None:
    """A bead of 4 x 1.2 mm has a section of 3.420 mm2; on both faces, at 8.5 g/cm3, 58.1 g a metre (C)."""
    assert segment_mm2(4, 1.2) == pytest.approx(3.420, abs=5e-4)
    # Foil of 7 mm on glass of 3 mm covers 2 mm a face on either side of the seam, a bead 4 mm wide.
    assert seam_mm2(7, 0.03, 3, 0, 1.2) * 8.5 == pytest.approx(58.1, abs=0.05)


@pytest.mark.parametrize("height", [0.3, 1.0, 1.2, 2.0, 2.9])
def test_segment(height: float) -> None:
    """A segment's area by chord and height is that by radius and angle, R^2/2 (t - sin t).

    Plane geometry, C.
    """
    radius = (4 + height**2) / (2 * height)
    angle = 2 * math.acos((radius - height) / radius)
    assert segment_mm2(4, height) == pytest.approx(radius**2 / 2 * (angle - math.sin(angle)))


def test_foil() -> None:
    """A metre of foil of 1.25 mil and 7/32 in weighs 1.581 g at 8.96 g/cm3.

    Sizes common practice, no source; C.
    """
    foil = material(kind="foil", width_mm="5.55625", thickness_mm="0.03175")
    part = foil_parts(drawn('<rect width="250" height="250"/>').cuts, foil, 0)[0]
    assert part.mass_g == pytest.approx(1.581, abs=5e-4)
