"""The price list as a frame: amounts stay Decimal, each in the column of its channel."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

from catalog_builder.publish.bench.costs.price_list import price_rows
from catalog_builder.publish.bench.price_history import history, unit_prices
from tests.studio import DAY, calculations, content, record

KEYS = "sizes: {small: 60 mm, large: 120 mm}"


def test_amounts_stand_under_their_channel(tmp_path: Path) -> None:
    """Two variants in three channels: every amount is that of its variant and channel, to the last digit."""
    records = content(tmp_path, record(keys=KEYS))
    variants = calculations(records)
    rows = price_rows(records.studio, variants, boxes=bool(records.boxes))
    assert [row["variant"] for row in rows] == [variant.offer.sku for variant in variants]
    names = [f"{name}_{amount}" for amount in ("price", "left", "an_hour", "floor") for name in variants[0].prices]
    assert list(rows[0])[8:] == names
    for row, variant in zip(rows, variants, strict=True):
        for name, price in variant.prices.items():
            assert row[f"{name}_price"] == price.printed
            assert row[f"{name}_floor"] == variant.earnings[name].floor
        assert {type(row[name]) for name in names} == {Decimal}
        assert str(row["cost"]) == f"{variant.cost.total:.2f}"


def test_a_price_is_in_force_until_the_next(tmp_path: Path) -> None:
    """Packs of 12.00 and then 18.00 in Decimal; before its first price a material has none, and the day is left out."""
    records = content(tmp_path, prices="slate,2031-03-01,18.00\n")
    days = [date(2029, 12, 31), date(2030, 1, 1), date(2031, 2, 28), date(2031, 3, 1), DAY]
    prices = unit_prices(records.materials, ["reed", "slate"], days)
    assert list(prices) == days[1:]
    assert [str(of_day["slate"]) for of_day in prices.values()] == ["12.00", "12.00", "18.00", "18.00"]
    (variant,) = calculations(records)
    assert [type(past.cost) for past in history(records.price_records, [variant], days)] == [Decimal] * 4
    assert history(records.price_records, [variant], [DAY])[0].cost == variant.cost.total
