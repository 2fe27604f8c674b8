"""Rounding and minor units against the decimal arithmetic tests, ISO 80000 and ISO 4217."""

from __future__ import annotations

from decimal import Decimal

import pytest
from babel.numbers import get_currency_precision
from iso4217 import Currency

from catalog_builder.units import minor_digits, rounded


@pytest.mark.parametrize(
    ("amount", "digits", "up", "even"),
    [
        # ISO 80000-1:2009, Annex B, rules B and A (M; that Annex B held them is S2).
        ("12.25", 1, "12.3", "12.2"),
        ("12.35", 1, "12.4", "12.4"),
        # General Decimal Arithmetic, rounding.decTest rdvx306/307 and 406/407: 12345/4 and 12355/4 (S,
        # CPython).
        ("3086.25", 1, "3086.3", "3086.2"),
        ("3088.75", 1, "3088.8", "3088.8"),
        # A dinar of three digits (C).
        ("1.2345", 3, "1.235", "1.234"),
        # OpenStax Contemporary Mathematics 6.2 (S): half a cent or more goes up.
        ("0.125", 2, "0.13", "0.12"),
    ],
)
def test_half_up(amount: str, digits: int, up: str, even: str) -> None:
    """The rule in use is half up, rule B, and not half to even, rule A."""
    value = Decimal(amount)
    assert str(rounded(value, digits)) == up
    assert str(round(value, digits)) == even


def test_binary_trap() -> None:
    """2.675 in binary floating point rounds to 2.67, money in decimal to 2.68.

    IEEE 754 4.3.1, M; run here, C.
    """
    assert round(2.675, 2) == 2.67
    assert rounded(Decimal("2.675"), 2) == Decimal("2.68")


# ISO 4217, list one, the maintenance agency's own table of 2026-01-01, as the library iso4217 carries it (S).
LIST_ONE = {currency.code: currency.exponent for currency in Currency if currency.exponent is not None}
# The currencies that studios are likely to sell in, as read in that table.
MINOR_UNITS = {
    "JPY": 0, "CLP": 0, "ISK": 0, "KRW": 0, "VND": 0, "XOF": 0,
    "USD": 2, "EUR": 2, "GBP": 2, "CHF": 2, "SEK": 2, "NOK": 2, "PLN": 2, "HUF": 2, "CZK": 2, "AUD": 2,
    "CAD": 2, "NZD": 2, "INR": 2, "MXN": 2, "ZAR": 2, "TRY": 2,
    "KWD": 3, "BHD": 3, "OMR": 3, "JOD": 3, "TND": 3,
    "CLF": 4,
}  # fmt: skip
# Where CLDR's table has the digits in everyday use, and ISO 4217 those of the currency (S, the same table).
APART = {"RSD": 2, "ALL": 2, "MGA": 2, "LAK": 2, "LBP": 2, "IQD": 3}


@pytest.mark.parametrize(("currency", "digits"), MINOR_UNITS.items())
def test_minor_units(currency: str, digits: int) -> None:
    """A currency's digits behind the point are ISO 4217's."""
    assert minor_digits(currency) == digits == LIST_ONE[currency]


def test_minor_units_of_every_currency() -> None:
    """Every currency of list one has that list's digits; it has well over a hundred and fifty."""
    assert len(LIST_ONE) > 150
    assert {currency: minor_digits(currency) for currency in LIST_ONE} == LIST_ONE


@pytest.mark.parametrize(("currency", "digits"), APART.items())
def test_minor_units_apart(currency: str, digits: int) -> None:
    """Where CLDR drops digits that are seldom used, a currency still has those of ISO 4217."""
    assert get_currency_precision(currency) != digits
    assert minor_digits(currency) == digits
