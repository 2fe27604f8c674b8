"""Cost: quantities at the prices in force on the day, bench time and overheads, each line for itself."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.making.quantities import Use
from catalog_builder.mistake import MistakeError
from catalog_builder.pricing.cost import Cost, read_cost
from catalog_builder.records.content import Content
from tests.costs import UNSAID, cut_time
from tests.studio import calculations, content, record

DATED = "slate,2031-03-01,15.00\nslate,2031-05-20,18.00\nslate,2031-09-01,21.00\n"


def priced(records: Content, amount: str, minutes: str = "0") -> Cost:
    """The cost of an amount of slate and some minutes."""
    use = Use(records.materials.rows["slate"], "glass", Decimal(amount), UNSAID)
    times = [cut_time(Decimal(minutes), Decimal(7))]
    return read_cost(records.materials, records.studio.bench, records.day, [use], times)


@pytest.mark.parametrize(
    ("day", "price"),
    [
        ("2030-01-01", "12.00"),
        ("2031-02-28", "12.00"),
        ("2031-03-01", "15.00"),
        ("2031-05-19", "15.00"),
        ("2031-05-20", "18.00"),
        ("2031-08-31", "18.00"),
        ("2031-09-01", "21.00"),
        ("2040-01-01", "21.00"),
    ],
)
def test_dated_prices(tmp_path: Path, day: str, price: str) -> None:
    """The row in force counts.

    The last one that begins on the day or before it, wherever it stands in the file.
    """
    records = replace(content(tmp_path, prices=DATED), day=date.fromisoformat(day))
    assert priced(records, "2").total == 2 * Decimal(price)


def test_dated_prices_in_any_order(tmp_path: Path) -> None:
    """A price added at the foot of the file for an earlier day does not hide a later one."""
    records = content(tmp_path, prices="slate,2031-05-01,18.00\nslate,2031-03-01,15.00\n")
    assert priced(records, "1").total == 18


def test_no_price_yet(tmp_path: Path) -> None:
    """A material whose first price is still to come has no cost, and that is told with its first day."""
    records = replace(content(tmp_path), day=date(2029, 12, 31))
    with pytest.raises(MistakeError, match=r"slate has no price in force on 2029-12-31 .*from 2030-01-01"):
        priced(records, "1")


@pytest.mark.parametrize(
    ("cells", "amount", "cost"),
    [
        ({"pack_size": "4", "pack_unit": "dm2"}, "3", "9.00"),
        ({"pack_size": "1", "pack_unit": "m2"}, "50", "6.00"),
        (
            {"pack_size": "1", "pack_unit": "sheet", "sheet_width_mm": "200", "sheet_height_mm": "300"},
            "1.5",
            "3.00",
        ),
        (
            {"pack_size": "2", "pack_unit": "sheet", "sheet_width_mm": "200", "sheet_height_mm": "300"},
            "1.5",
            "1.50",
        ),
        ({"pack_size": "1", "pack_unit": "sq ft"}, "9.290304", "12.00"),
    ],
)
def test_packs(tmp_path: Path, cells: dict[str, str], amount: str, cost: str) -> None:
    """A pack's price over what it holds is the price of a unit, by area or by the sheet."""
    assert priced(content(tmp_path, materials={"slate": cells}), amount).total == Decimal(cost)


@pytest.mark.parametrize(("minutes", "labour", "overhead"), [("60", "30", "5"), ("30", "15", "2.5"), ("0", "0", "0")])
def test_bench_time(tmp_path: Path, minutes: str, labour: str, overhead: str) -> None:
    """Bench minutes are paid at the hourly rate, and carry their share of the year's overheads.

    Waiting is not paid.
    """
    tables = {"bench": 'hourly_rate = "30"\noverheads_a_year = "4000"\nbench_hours_a_year = 800'}
    cost = priced(content(tmp_path, tables=tables), "1", minutes)
    assert [cost.of(group) for group in ("glass", "labour", "overhead")] == [
        12,
        Decimal(labour),
        Decimal(overhead),
    ]
    assert cost.total == cost.of("glass", "labour", "overhead")
    assert [cost.minutes, cost.waiting] == [Decimal(minutes), 7]


def test_whole_cost(tmp_path: Path) -> None:
    """A cost is the sum of its lines, each a quantity at a unit price out of a row that is named."""
    cost = calculations(content(tmp_path))[0].cost
    by_name = {line.name: line for line in cost.lines}
    # Glass as boxes with 3 mm clearance; 10 minutes over a batch of 5 and 2 x 2 pieces, with 20 % allowance.
    assert by_name["slate"].amount == Decimal("0.33138") * 12
    assert by_name["Cut"].amount == Decimal("7.2") / 60 * 30
    assert by_name["foil-wide"].amount == pytest.approx(Decimal("0.4484") * 12 / 33)
    assert by_name["ring-small"].amount == Decimal("0.24")
    assert cost.total == sum(line.quantity * line.unit_price for line in cost.lines)
    assert all(line.source.startswith("content/") for line in cost.lines)


@pytest.mark.parametrize(("price", "share"), [("24.00", "1"), ("18.00", "0.5"), ("12.00", "0")])
def test_linear(tmp_path: Path, price: str, share: str) -> None:
    """The cost is linear in every unit price.

    Double the price of a glass and its own line doubles, no other.
    """
    before = calculations(content(tmp_path / "before"))[0].cost
    after = calculations(content(tmp_path / "after", prices=f"slate,2031-05-01,{price}\n"))[0].cost
    glass = next(line for line in before.lines if line.name == "slate")
    assert after.total - before.total == pytest.approx(glass.amount * Decimal(share))


@pytest.mark.parametrize(("size", "charge"), [("50 mm", (27.6, 33)), ("100 mm", (52.6, 63)), ("200 mm", (102.6, 123))])
def test_cost_of_sizes(tmp_path: Path, size: str, charge: tuple[float, float]) -> None:
    """A size takes its glass by area, while gap and clearance stay: charges do not go by the square alone."""
    cost = calculations(content(tmp_path, record(keys=f"width: {size}")))[0].cost
    slate = next(line for line in cost.lines if line.name == "slate")
    assert float(slate.quantity) == pytest.approx(charge[0] * charge[1] / 10_000)
