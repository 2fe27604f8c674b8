"""Standard time against worked examples of work measurement."""

from __future__ import annotations

from decimal import Decimal

import pytest

from catalog_builder.making.labour import step_time
from catalog_builder.making.quantities import Measures
from catalog_builder.records.studio import Bench, Step

ONE = Measures(*(Decimal(1) for _ in range(7)))


@pytest.mark.parametrize(
    ("basic", "allowance", "standard"),
    [
        # Standard = basic x (1 + allowance): ILO, Introduction to Work Study, 4th ed., as quoted (S2; book
        # not read).
        # 30 centiminutes at a rating of 95 are 28.5 basic: a management site's worked example (S2).
        ("28.5", "15", "32.775"),
        ("50", "20", "60"),
        # The ILO's constant allowances, 5 % personal and 4 % basic fatigue (M).
        ("100", "9", "109"),
    ],
)
def test_standard_time(basic: str, allowance: str, standard: str) -> None:
    """Standard time is basic time and an allowance on top of it, not a share of the whole."""
    bench = Bench.model_validate({"hourly_rate": 1, "bench_hours_a_year": 1, "allowance_percent": allowance})
    step = Step.model_validate({"title": "Step", "item": basic})
    assert step_time("step", step, bench, ONE, 1).minutes == Decimal(standard)
