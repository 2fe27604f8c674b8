"""A bill adds up to the last unit of the currency, whatever the tax, the deposit and the digits."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog_builder.pricing.bill import TaxedAmount, bill_of
from catalog_builder.records.selling.channel import Channel


def channel(tax_percent: object = 0, tax: str = "included") -> Channel:
    """A channel with a tax."""
    keys = {"title": "One", "shown_on": "private", "markup_percent": 0, "tax_percent": tax_percent, "tax": tax}
    return Channel.model_validate(keys)


@st.composite
def asked(draw: st.DrawFn) -> tuple[Channel, list[Decimal], int, Decimal]:
    """A channel, amounts of a currency with 0, 2 or 3 digits, and a deposit."""
    digits = draw(st.sampled_from((0, 2, 3)))
    units = draw(st.lists(st.integers(0, 10**9), min_size=1, max_size=6))
    rate = draw(st.decimals(0, 100, places=2))
    deposit = draw(st.decimals(0, 100, places=2))
    amounts = [Decimal(unit).scaleb(-digits) for unit in units]
    return channel(rate, draw(st.sampled_from(("included", "added")))), amounts, digits, deposit


@given(asked())
def test_all_parts_add_up(case: tuple[Channel, list[Decimal], int, Decimal]) -> None:
    """Lines, net and tax make the total; deposit and balance make it too, net and tax alike; none is below 0."""
    seller, amounts, digits, percent = case
    bill = bill_of(seller, amounts, digits, percent)
    assert (bill.due.total if seller.tax == "included" else bill.due.net) == sum(bill.amounts)
    assert bill.deposit.total + bill.balance.total == bill.due.total
    assert (bill.deposit.net + bill.balance.net, bill.deposit.tax + bill.balance.tax) == (bill.due.net, bill.due.tax)
    unit = Decimal(1).scaleb(-digits)
    for part in (bill.due, bill.deposit, bill.balance):
        assert min(part.net, part.tax) >= 0
        assert part.net % unit == part.tax % unit == 0


@given(asked())
def test_rounding_moves_nothing_by_more_than_half_a_unit(case: tuple[Channel, list[Decimal], int, Decimal]) -> None:
    """Tax is the rate's share and a deposit the percentage of the total, each to within half of the last digit."""
    seller, amounts, digits, percent = case
    bill, half = bill_of(seller, amounts, digits, percent), Decimal("0.5").scaleb(-digits)
    rate = seller.tax_percent / 100
    base = sum(amounts) / (1 + rate) if seller.tax == "included" else sum(amounts)
    slack = half + Decimal("1e-12")
    assert abs(bill.due.tax - base * rate) <= slack
    assert abs(bill.deposit.total - bill.due.total * percent / 100) <= slack


@pytest.mark.parametrize(
    ("tax", "net", "vat", "deposit", "balance"),
    [
        # 2 x 84 + 86 + 18 = 272. Included at 20 %: 272 / 6 = 45.333. 40 % of 272 = 108.80, a sixth of it 18.133.
        ("included", "226.67", "45.33", ("90.67", "18.13"), ("136.00", "27.20")),
        # Added: 54.40, so 326.40 in all; 40 % of it 130.56, a sixth of it 21.76.
        ("added", "272.00", "54.40", ("108.80", "21.76"), ("163.20", "32.64")),
    ],
)
def test_by_hand(tax: str, net: str, vat: str, deposit: tuple[str, str], balance: tuple[str, str]) -> None:
    """A piece for 86, two for 84 each and 18 for delivery, with 20 % tax and 40 % paid before."""
    amounts = [Decimal(86), Decimal(168), Decimal(18)]
    bill = bill_of(channel(20, tax), amounts, 2, Decimal(40))
    assert bill.due == TaxedAmount(Decimal(net), Decimal(vat))
    assert bill.deposit == TaxedAmount(*map(Decimal, deposit))
    assert bill.balance == TaxedAmount(*map(Decimal, balance))


def test_nothing_asked_is_nothing_due() -> None:
    """A bill of 0 has no tax and no deposit."""
    bill = bill_of(channel(20), [Decimal(0)], 2, Decimal(50))
    assert bill.due == bill.deposit == bill.balance == TaxedAmount(Decimal(0), Decimal(0))
