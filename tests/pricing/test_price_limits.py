"""Where one price becomes another: at the floor, at a price point, and where two prices count as apart."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.pricing.calculation import compared
from catalog_builder.pricing.change import Basis, Cause, split_change
from catalog_builder.pricing.consistency import price_findings
from catalog_builder.pricing.policy import Rule, set_price, to_point
from catalog_builder.records.selling.channel import Channel, PricePoint
from tests.studio import calculations, content

HALVES = (PricePoint(up_to=None, step=Decimal("0.50"), less=Decimal(0)),)


def channel(**keys: object) -> Channel:
    """A private channel at cost by its keys."""
    return Channel.model_validate({"title": "One", "shown_on": "private", "markup_percent": 0, **keys})


@pytest.mark.parametrize(
    ("policy", "floor", "printed"),
    [
        # Rounded down to 12.00 it would not cover a floor of 12.20: the next point up is taken.
        ("12.40", "12.20", "12.50"),
        ("12.40", "12.00", "12.00"),
        ("12.40", "12.40", "12.50"),
        # What the rule itself asks under the floor stays, and is pointed out: the terms are the maker's own.
        ("12.40", "13.10", "12.00"),
    ],
)
def test_rounding_alone_takes_no_price_under_the_floor(policy: str, floor: str, printed: str) -> None:
    """A price that is rounded down stops at the floor; one that was under it before is left where it is."""
    down = channel(rounding="down", price_points=[{"step": "0.50"}])
    assert set_price(down, Decimal(policy), 2, Decimal(floor)).printed == Decimal(printed)


@pytest.mark.parametrize(
    ("amount", "printed"),
    [
        ("10", "10.00"),
        # A real part of a cent over the point goes up, the rest of a division does not.
        ("10.0004", "10.50"),
        ("10.0000001", "10.50"),
        ("10.00000000001", "10.00"),
        ("9.99999999999", "10.00"),
    ],
)
def test_the_last_digits_of_a_division_lift_no_price(amount: str, printed: str) -> None:
    """Nine digits behind the point count; what is beyond them comes of dividing."""
    assert to_point(Decimal(amount), HALVES, 2) == Decimal(printed)


@pytest.mark.parametrize(
    ("cost", "price", "codes"),
    [
        # Costs within 2 % are nearly the same; prices within 8 % are near enough.
        ("1.02", "1.09", ["C06"]),
        ("1.03", "1.09", []),
        ("1.02", "1.08", []),
        ("1", "1.0801", ["C06"]),
    ],
)
def test_when_two_choices_of_glass_count_as_priced_apart(
    tmp_path: Path, cost: str, price: str, codes: list[str]
) -> None:
    """Both shares are common practice, no source."""
    studio = content(tmp_path)
    sea = compared(calculations(studio)[0])
    sea = replace(
        sea, choice="sea", prices={name: replace(price, paid=Decimal(100)) for name, price in sea.prices.items()}
    )
    printed = sea.prices["online"].printed * Decimal(price)
    moss = replace(
        sea,
        choice="moss",
        cost=sea.cost * Decimal(cost),
        prices={**sea.prices, "online": replace(sea.prices["online"], printed=printed)},
    )
    assert [finding.code for finding in price_findings(studio.studio, [sea, moss])] == codes


def test_a_leftover_cent_goes_to_the_cause_that_lost_most() -> None:
    """1.8 and 1.2 cents more, rounded down, lose 0.8 and 0.2: the cent that is left over goes to the first."""
    old = {key: (Decimal(1), Decimal(1)) for key in ("sand", "tide")}
    new = {"sand": (Decimal(1), Decimal("1.012")), "tide": (Decimal(1), Decimal("1.018"))}
    line = Rule(Decimal(1), Decimal(0))
    causes = split_change(Basis(old, line, Decimal("2.00")), Basis(new, line, Decimal("2.03")), 2)
    assert causes == (Cause("price", "tide", Decimal("0.02")), Cause("price", "sand", Decimal("0.01")))
