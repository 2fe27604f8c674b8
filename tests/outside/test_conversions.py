"""Units against pint and scipy, general libraries that carry NIST SP 811, Appendix B, and Handbook 44.

S2.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pint
import pypdfium2
import pytest
import typst
from scipy import constants

from catalog_builder.pattern.svg.viewport import MM_PER_PX, length_px
from catalog_builder.publish.sheets.typeset import PAPERS
from catalog_builder.records.studio_tables.paper import PAPERS_MM, Paper
from catalog_builder.units import DM2_PER, G_PER, M_PER, ML_PER, MM_PER, length_mm

EXACT: pint.UnitRegistry[Any] = pint.UnitRegistry(non_int_type=Decimal)
NAMES = {
    "in": "inch",
    "ft": "foot",
    "yd": "yard",
    "fl oz": "fluid_ounce",
    "sq ft": "foot**2",
    "sq in": "inch**2",
}
SQUARES = {"dm2": "decimeter**2", "cm2": "centimeter**2", "m2": "meter**2"}
TABLES = [
    ("millimeter", MM_PER),
    ("meter", M_PER),
    ("gram", G_PER),
    ("milliliter", ML_PER),
    ("decimeter**2", DM2_PER),
]
ROWS = [(base, unit, factor) for base, factors in TABLES for unit, factor in factors.items()]


@pytest.mark.parametrize(("base", "unit", "factor"), ROWS, ids=[f"{unit} in {base}" for base, unit, _ in ROWS])
def test_factors(base: str, unit: str, factor: Decimal) -> None:
    """Every factor of the tables is exact, to the last digit, as pint works it out in decimal numbers."""
    quantity = EXACT.Quantity(Decimal(1), NAMES.get(unit, SQUARES.get(unit, unit)))
    # Worked in 28 digits, so that a square or a cube may carry a rest far behind the point.
    assert quantity.to(base).magnitude == pytest.approx(factor, rel=Decimal("1e-24"))


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        (float(MM_PER["in"]) / 1000, constants.inch),
        (float(MM_PER["ft"]) / 1000, constants.foot),
        (float(MM_PER["yd"]) / 1000, constants.yard),
        (float(G_PER["oz"]) / 1000, constants.oz),
        (float(G_PER["lb"]) / 1000, constants.pound),
        (float(ML_PER["fl oz"]) / 1e6, constants.fluid_ounce_US),
        (length_mm("5 in") / 1000, 5 * constants.inch),
        # A point is 1/72 inch, and 96 px are an inch: CSS Values 3, section 5.2 (S2).
        (length_px("12pt") * MM_PER_PX / 1000, 12 * constants.inch / 72),
        (length_px("1pc") * MM_PER_PX / 1000, constants.inch / 6),
        (length_px("1Q") * MM_PER_PX / 1000, constants.milli / 4),
    ],
)
def test_constants(ours: float, theirs: float) -> None:
    """Inches, feet, yards, ounces, pounds and printers' points are as long and as heavy as scipy's."""
    assert ours == pytest.approx(theirs, rel=1e-15, abs=0)


@pytest.mark.parametrize(
    ("unit", "amount", "base"),
    [
        # C: 5.5 square feet, 7.5 ounces; a pound is 16 ounces, a square foot 144 square inches.
        (DM2_PER["sq ft"], "5.5", "51.096672"),
        (G_PER["oz"], "7.5", "212.6214234375"),
        (G_PER["oz"], "16", "453.59237"),
        (DM2_PER["sq in"], "144", "9.290304"),
        (MM_PER["in"], "0.001", "0.0254"),
    ],
)
def test_exact_amounts(unit: Decimal, amount: str, base: str) -> None:
    """An amount in a customary unit is exact in the metric one, without the noise of binary numbers."""
    assert unit * Decimal(amount) == Decimal(base)


def halved(times: int) -> tuple[int, int]:
    """A sheet of ISO 216 in whole mm: A0, 841 x 1189 mm, its long side halved and floored so many times.

    A0 has a square metre with sides as 1 to the root of 2, to the nearest mm (S2, two document tables; C).
    """
    wide, high = round(1000 / 2**0.25), round(1000 * 2**0.25)
    for _ in range(times):
        wide, high = high // 2, wide
    return wide, high


@pytest.mark.parametrize(
    ("paper", "wide", "high"),
    [
        # ISO 216: 841 x 1189, 594 x 841, 420 x 594, 297 x 420, 210 x 297.
        ("A4", *halved(4)),
        # ANSI/ASME Y14.1, size A: 8.5 by 11 in (S2 for the size, M for the standard).
        ("Letter", 8.5 * 25.4, 11 * 25.4),
    ],
)
def test_paper(paper: Paper, wide: float, high: float) -> None:
    """The papers that sheets are laid out on have the sizes of their standards, to a thousandth of a mm."""
    assert PAPERS_MM[paper] == pytest.approx((wide, high), abs=1e-3)


@pytest.mark.parametrize("paper", sorted(PAPERS_MM))
def test_paper_as_it_is_set(paper: Paper) -> None:
    """A typesetting library's own paper of that name, measured in the PDF by a reader of PDFs, is as large."""
    document = pypdfium2.PdfDocument(typst.compile(f'#set page(paper: "{PAPERS[paper]}")\nA'.encode()))
    points = document[0].get_size()
    assert [side / 72 * 25.4 for side in points] == pytest.approx(PAPERS_MM[paper], abs=0.01)


@pytest.mark.parametrize(("wide", "high"), [(841, 1189), (210, 297), (105, 148)])
def test_paper_in_px(wide: int, high: int) -> None:
    """A paper is as many px across as its inches have, 96 each (CSS Values 3, section 5.2, S2)."""
    assert length_px(f"{wide}mm") == pytest.approx(wide / 25.4 * 96)
    assert length_px(f"{high}mm") * MM_PER_PX == pytest.approx(high)
