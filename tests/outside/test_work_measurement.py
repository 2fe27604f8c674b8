"""Standard time against worked examples of work measurement."""

from __future__ import annotations

import math
from decimal import Decimal
from itertools import pairwise

import pytest

from catalog_builder.making.labour import step_time
from catalog_builder.making.quantities import Measures
from catalog_builder.planning.learning_curve import Curve, curve_through
from catalog_builder.records.studio import Bench, WorkStep

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
    step = WorkStep.model_validate({"title": "Step", "item": basic})
    assert step_time("step", step, bench, ONE, 1).minutes == Decimal(standard)


def test_the_usual_allowance() -> None:
    """Without a figure of the studio's own, the ILO's constant allowances are taken: 5 % personal, 4 % fatigue (M)."""
    assert Bench.model_validate({"hourly_rate": 1, "bench_hours_a_year": 1}).allowance_percent == 5 + 4


def test_learning_curve_by_wright() -> None:
    """At 80 % the mean time falls from 100 to 40.96 over four doublings: an accounting workbook's table (S2).

    The table's last increment is printed as 254.76; its own totals give 655.36 - 409.6 = 245.76.
    """
    curve = Curve(100.0, 0.8)
    assert [curve.mean(count) for count in (1, 2, 4, 8, 16)] == pytest.approx([100, 80, 64, 51.2, 40.96])
    assert [curve.of(0, count) for count in (1, 2, 4, 8, 16)] == pytest.approx([100, 160, 256, 409.6, 655.36])
    assert curve.of(8, 8) == pytest.approx(245.76)


def test_learning_curve_is_found_again() -> None:
    """Batches of 1, 1, 2, 4 and 8 that took what the table says lie on its curve (the same table, S2)."""
    totals = (100.0, 160.0, 256.0, 409.6, 655.36)
    curve = curve_through((1, 1, 2, 4, 8), [totals[0], *(later - sooner for sooner, later in pairwise(totals))])
    assert (curve.first, curve.share) == pytest.approx((100.0, 0.8))


def test_the_curve_is_of_the_mean_time() -> None:
    """812 hours for the first and 75 % give 82.096 hours at 250; here that is the mean of the first 250.

    First time and share: a project-management text (S2), which takes the value as that of the 250th unit alone
    (Crawford's unit model). By Wright's model the 250th alone takes less: 82.096 x (1 + log2 0.75) = 48.0 (C, to 1 %).
    """
    curve = Curve(812.0, 0.75)
    assert curve.mean(250) == pytest.approx(82.096, abs=5e-4)
    assert curve.of(249, 1) == pytest.approx(82.096 * (1 + math.log2(0.75)), rel=0.01)
