"""Units: exact conversions at the border, and the one rounding rule."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog_builder.units import awg_diameter_mm, exact, length_mm, minor_digits, raised, rounded

MONEY = st.decimals(Decimal(0), Decimal(100_000), places=6)
STEPS = st.sampled_from([Decimal(step) for step in ("0.01", "0.05", "0.5", "1", "2", "5", "2.5", "0.99")])


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("80 mm", 80),
        ("8cm", 80),
        ("0.08 m", 80),
        ("3.5 in", 88.9),
        (".5in", 12.7),
        ("1 ft", 304.8),
        ("1 yd", 914.4),
        ("  7 mm ", 7),
    ],
)
def test_lengths(text: str, mm: float) -> None:
    """A length is a number with its unit, and a foot is twelve inches of 25.4 mm."""
    assert length_mm(text) == mm


@pytest.mark.parametrize("text", ["80", "mm", "0 mm", "-3 mm", "3,5 mm", "3 px", "1e3 mm", "3 mm x", "", "nan mm"])
def test_not_lengths(text: str) -> None:
    """What has no unit, no number or no extent is not a length."""
    with pytest.raises(ValueError) as refused:
        length_mm(text)
    assert refused.value.args == (text,)


@pytest.mark.parametrize("gauge", [0, 10, 18, 20, 24, 34])
def test_gauge(gauge: int) -> None:
    """A higher gauge is a thinner wire, and six gauges halve it nearly."""
    assert awg_diameter_mm(gauge) > awg_diameter_mm(gauge + 1)
    assert awg_diameter_mm(gauge) / awg_diameter_mm(gauge + 6) == pytest.approx(2, rel=3e-3)


@pytest.mark.parametrize(
    ("amount", "digits", "shown"),
    [
        ("0.125", 2, "0.13"),
        ("0.135", 2, "0.14"),
        ("2.675", 2, "2.68"),
        ("2.6749999", 2, "2.67"),
        ("-0.125", 2, "-0.13"),
        ("12.5", 0, "13"),
        ("1.2345", 3, "1.235"),
        ("3", 2, "3.00"),
    ],
)
def test_rounded(amount: str, digits: int, shown: str) -> None:
    """Half a minor unit goes up, away from nothing; money keeps all digits of its currency."""
    assert str(rounded(Decimal(amount), digits)) == shown


@settings(derandomize=True, database=None, deadline=None)
@given(amount=MONEY, step=STEPS)
def test_raised(amount: Decimal, step: Decimal) -> None:
    """A price goes up to the next multiple of a step.

    Never under what was asked, never a whole step over it.
    """
    found = raised(amount, step)
    assert amount <= found < amount + step
    assert found % step == 0


@pytest.mark.parametrize(
    ("value", "places", "shown"),
    [
        (0.1 + 0.2, 6, "0.300000"),
        (1 / 3, 6, "0.333333"),
        (2 / 3, 3, "0.667"),
        (1e-9, 6, "0.000000"),
        (5, 6, "5.000000"),
    ],
)
def test_exact(value: float, places: int, shown: str) -> None:
    """A measured number becomes a decimal one without the last bits in which machines differ."""
    assert str(exact(value, places)) == shown


@pytest.mark.parametrize(("currency", "digits"), [("GBP", 2), ("EUR", 2), ("JPY", 0), ("KWD", 3)])
def test_minor_digits(currency: str, digits: int) -> None:
    """Pounds and euros have two digits behind the point, yen none, dinars of Kuwait three."""
    assert minor_digits(currency) == digits
