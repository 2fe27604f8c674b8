"""Stock: what is on hand counts in the unit that a material is counted in, offcuts apart."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.mistake import MistakeError
from catalog_builder.records.batch_plan import MOST_PLANS
from catalog_builder.records.content import read_content
from catalog_builder.records.stock import MOST_ROWS, Offcut
from tests.batch import planned_studio

DAY = date(2031, 5, 20)


@pytest.mark.parametrize(
    ("row", "material", "amount"),
    [
        # Packs: two rolls of 33 m, a spool and a half of 500 g.
        ("foil-wide,2,", "foil-wide", "66"),
        ("solder,1.5,", "solder", "750"),
        # 10 feet are 3.048 m and an ounce 28.349523125 g, exact by definition (NIST SP 811, Appendix B).
        ("foil-wide,10,ft", "foil-wide", "3.048"),
        ("solder,1,oz", "solder", "28.349523125"),
        # A sheet of 200 by 130 mm is 2.6 dm2.
        ("reed,3,sheet", "reed", "7.8"),
        ("reed,1,m2", "reed", "100"),
    ],
)
def test_amounts_are_counted_as_quantities_are(tmp_path: Path, row: str, material: str, amount: str) -> None:
    """Packs, or whatever unit a maker measures in, become metres, grams and square decimetres exactly."""
    planned_studio(tmp_path, stock=f"material,amount,unit\n{row}\n")
    assert read_content(tmp_path, DAY).stock.of(material) == Decimal(amount)


def test_rows_of_one_material_add_up(tmp_path: Path) -> None:
    """An opened roll and two whole ones are one stock of foil; what has no row is not there."""
    planned_studio(tmp_path, stock="material,amount,unit\nfoil-wide,2,\nfoil-wide,4.5,m\n")
    stock = read_content(tmp_path, DAY).stock
    assert stock.of("foil-wide") == Decimal("70.5")
    assert stock.of("solder") == 0


def test_offcuts_come_smallest_first(tmp_path: Path) -> None:
    """Offcuts are rectangles of their own, no whole sheets, and the smallest is tried first."""
    rows = "reed,1,120,100\nreed,2,50,60\n"
    planned_studio(tmp_path, stock=f"material,amount,width_mm,height_mm\n{rows}")
    stock = read_content(tmp_path, DAY).stock
    small, large = Offcut(Decimal(50), Decimal(60)), Offcut(Decimal(120), Decimal(100))
    assert stock.offcuts["reed"] == (small, small, large)
    assert stock.of("reed") == 0


def test_a_table_without_end_is_told(tmp_path: Path) -> None:
    """More rows than any store room has are refused by their number."""
    planned_studio(tmp_path, stock="material,amount\n" + "reed,1\n" * (MOST_ROWS + 1))
    with pytest.raises(MistakeError) as caught:
        read_content(tmp_path, DAY)
    assert caught.value.mistakes[0].wrong == f"the table has {MOST_ROWS + 1} rows"


def test_too_many_plans_are_told(tmp_path: Path) -> None:
    """Plans that are done belong out of the folder; a hundred are read."""
    planned_studio(tmp_path)
    folder = tmp_path / "content" / "batches"
    text = (folder / "spring.toml").read_text(encoding="utf-8")
    for number in range(MOST_PLANS):
        (folder / f"plan-{number}.toml").write_text(text, encoding="utf-8")
    with pytest.raises(MistakeError) as caught:
        read_content(tmp_path, DAY)
    assert caught.value.mistakes[0].wrong == f"there are {MOST_PLANS + 1} plans"
