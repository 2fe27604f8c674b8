"""Prices against worked examples.

OpenStax Contemporary Mathematics 6.2 and Principles of Accounting 1 and 2.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from catalog_builder.pricing.cost import read_cost
from catalog_builder.pricing.policy import Earning, price_before_tax, read_earning, set_price
from catalog_builder.records.selling.channel import Channel
from catalog_builder.units import rounded
from tests.costs import cost_of, cut_time
from tests.studio import content

NO_TIME = Decimal(0)


def channel(**keys: object) -> Channel:
    """A private channel by its keys."""
    rule = {} if "margin_percent" in keys else {"markup_percent": Decimal(0)}
    return Channel.model_validate({"title": "One", "shown_on": "private", **rule, **keys})


def earning(one: Channel, price: str, total: str) -> Earning:
    """What a printed price leaves of a cost in a channel."""
    return read_earning(one, set_price(one, Decimal(price), 2), cost_of(Decimal(total)), Decimal(1), 2)


@pytest.mark.parametrize(
    ("total", "markup", "price"),
    [
        # Contemporary Mathematics 6.2 (S): a markup is on cost.
        ("62", "15", "71.30"),
        ("750", "45", "1087.50"),
        # The same, asked the other way round (S).
        ("8.85", "20", "10.62"),
        ("25.00", "18", "29.50"),
        # Printed with the working 1 + 2.25, but the answer 11.80 belongs to 125 % (S; C).
        ("11.80", "125", "26.55"),
    ],
)
def test_markup(total: str, markup: str, price: str) -> None:
    """A markup is a share of the cost, added to it, exact to the cent."""
    one = channel(markup_percent=Decimal(markup))
    assert set_price(one, price_before_tax(one, Decimal(total), NO_TIME), 2).printed == Decimal(price)


def test_markup_of_a_price() -> None:
    """5.20 sold at 9.90 is marked up by 90.38 % (Contemporary Mathematics 6.2, S)."""
    found = earning(channel(), "9.90", "5.20")
    assert found.profit / Decimal("5.20") * 100 == pytest.approx(Decimal("90.38"), abs=Decimal("0.005"))


def test_margin() -> None:
    """293,500 of sales that cost 180,000 have a margin of 0.39.

    Accounting 1, gross profit margin ratio, S.
    """
    found = earning(channel(), "293500", "180000")
    assert rounded(found.margin, 2) == Decimal("0.39")
    assert found.margin == pytest.approx(Decimal("0.38671"), abs=Decimal("5e-6"))
    assert found.profit / 180_000 == pytest.approx(Decimal("0.6306"), abs=Decimal("5e-5"))


@pytest.mark.parametrize(("markup", "margin"), [("25", "20"), ("100", "50"), ("150", "60"), ("300", "75")])
def test_markup_and_margin(markup: str, margin: str) -> None:
    """A markup m and a margin m / (1 + m) ask for the same price (C)."""
    by_markup = price_before_tax(channel(markup_percent=Decimal(markup)), Decimal(40), NO_TIME)
    by_margin = price_before_tax(channel(margin_percent=Decimal(margin)), Decimal(40), NO_TIME)
    assert by_markup == by_margin


@pytest.mark.parametrize(
    ("fixed", "units", "price", "variable", "income"),
    [
        # Accounting 2, ch. 3 (S; price 100 inferred from 22,500 / 225): 18,000 / (100 - 20) = 225 units.
        (18_000, 225, "100", "20", 0),
        # The same with an income of 16,000: 425 units, 42,500 of sales.
        (18_000, 425, "100", "20", 16_000),
        # The second set (S): 14,000 / 250 = 56 units; with 10,000 more, 96 units and 38,400 of sales.
        (14_000, 56, "400", "150", 0),
        (14_000, 96, "400", "150", 10_000),
    ],
)
def test_break_even(fixed: int, units: int, price: str, variable: str, income: int) -> None:
    """A season's fixed fees, spread over its sales, leave nothing at break-even, the target above it."""
    one = channel(day_fee=fixed, sales_a_day=units)
    found = earning(one, price, variable)
    assert found.profit * units == pytest.approx(income, abs=Decimal("1e-9"))
    contribution = earning(channel(), price, variable)
    assert contribution.left_after_fees - Decimal(variable) == contribution.profit
    assert contribution.profit * units == fixed + income


def test_overhead_on_labour(tmp_path: Path) -> None:
    """At 2.50 of overhead for each 1 of labour, 40 of labour carry 100.

    Accounting 2, ch. 4, job order costing, S.
    """
    tables = {"bench": 'hourly_rate = "20"\noverheads_a_year = "50000"\nbench_hours_a_year = 1000'}
    studio = content(tmp_path, tables=tables)
    found = read_cost(studio.materials, studio.studio.bench, studio.day, [], [cut_time(Decimal(120))])
    assert [found.of("labour"), found.of("overhead")] == [40, 100]


def test_gross_up() -> None:
    """To keep 40 after 9.5 % and 0.45, charge (40 + 0.45) / (1 - 0.095) = 44.70; 44.25 keeps 39.60.

    Algebra, C.
    """
    one = channel(fee_percent=Decimal("9.5"), fee_each=Decimal("0.45"))
    asked = price_before_tax(one, Decimal(40), NO_TIME)
    assert asked == pytest.approx(Decimal("44.69613"), abs=Decimal("1e-5"))
    assert set_price(one, asked, 2).printed == Decimal("44.70")
    assert rounded(earning(one, "44.70", "40").left_after_fees, 2) == Decimal("40.00")
    assert rounded(earning(one, "44.25", "40").left_after_fees, 2) == Decimal("39.60")
    assert earning(one, "50", "40").floor == Decimal("44.70")


@pytest.mark.parametrize(
    ("price", "tax", "paid"),
    [
        # Half a cent or more goes up: Contemporary Mathematics 6.2 (S).
        ("1.00", "12.5", "1.13"),
        ("1.00", "12.4", "1.12"),
        ("62.50", "6.25", "66.41"),
        ("450", "8", "486.00"),
    ],
)
def test_sales_tax(price: str, tax: str, paid: str) -> None:
    """A sales tax that is added is rounded to the cent, half a cent up."""
    one = channel(tax_percent=Decimal(tax), tax="added")
    assert set_price(one, Decimal(price), 2).paid == Decimal(paid)


@pytest.mark.parametrize(
    ("tax", "price", "fraction"),
    [
        # HM Revenue & Customs, VAT guide (Notice 700), "VAT fraction", in an accountant's copy (S2): 20 in 120,
        # 17.50 in 117.50, 15 in 115. The fraction at 5 % is from memory.
        ("20", "120", Fraction(1, 6)),
        ("17.5", "117.50", Fraction(7, 47)),
        ("15", "115", Fraction(3, 23)),
        ("5", "105", Fraction(1, 21)),
    ],
)
def test_tax_included(tax: str, price: str, fraction: Fraction) -> None:
    """The tax in a printed price is the tax office's fraction of it, not the rate."""
    found = set_price(channel(tax_percent=Decimal(tax)), Decimal(100), 2)
    assert found.printed == Decimal(price)
    assert float(found.printed - found.before_tax) == pytest.approx(float(Fraction(price) * fraction))
