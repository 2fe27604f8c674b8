"""Lengths, areas, masses, money: exact conversions at the border, and the one rounding rule.

Inside the program lengths are mm, areas mm2, masses g, times minutes, money Decimal.
"""

from __future__ import annotations

import re
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from functools import lru_cache

# Exact by definition: NIST SP 811, Appendix B (inch, foot, yard, pound, ounce).
MM_PER = {
    "mm": Decimal(1),
    "cm": Decimal(10),
    "m": Decimal(1000),
    "in": Decimal("25.4"),
    "ft": Decimal("304.8"),
    "yd": Decimal("914.4"),
}
G_PER = {
    "g": Decimal(1),
    "kg": Decimal(1000),
    "oz": Decimal("28.349523125"),
    "lb": Decimal("453.59237"),
}
# US customary fluid ounce: 29.5735295625 ml, exact from the inch.
ML_PER = {"ml": Decimal(1), "l": Decimal(1000), "fl oz": Decimal("29.5735295625")}
DM2_PER = {
    "dm2": Decimal(1),
    "cm2": Decimal("0.01"),
    "m2": Decimal(100),
    "sq ft": Decimal("9.290304"),
    "sq in": Decimal("0.064516"),
}
M_PER = {unit: factor / 1000 for unit, factor in MM_PER.items()}

_LENGTH = re.compile(r"^\s*(\d+(?:\.\d+)?|\.\d+)\s*([a-z]+)\s*$")


def length_mm(text: str) -> float:
    """Read a length such as ``80 mm`` or ``3.5 in`` in millimetres.

    Raises:
        ValueError: the text is not a positive number with a unit of length.
    """
    match = _LENGTH.match(text)
    if match is None or match[2] not in MM_PER:
        raise ValueError(text)
    value = Decimal(match[1]) * MM_PER[match[2]]
    if value <= 0:
        raise ValueError(text)
    return float(value)


def awg_diameter_mm(gauge: int) -> float:
    """Give the diameter in mm of a wire by its American gauge: 0.127 x 92^((36 - n) / 39).

    Source: ASTM B258, as quoted by published gauge tables. 18 AWG is 1.0237 mm.
    """
    return float(0.127 * 92 ** ((36 - gauge) / 39))


def exact(value: float, places: int = 6) -> Decimal:
    """Turn a measured number into a Decimal with ``places`` digits behind the point, half up.

    Six places of a millimetre's thousandth are far below what a bench can measure, and hide the last
    bits in which machines may differ.
    """
    return Decimal(repr(float(value))).quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)


def rounded(amount: Decimal, digits: int) -> Decimal:
    """Round money to ``digits`` behind the point, half up: the one rule for money that is shown.

    Source: rule B of ISO 80000-1:2009, Annex B (from memory). 0.125 becomes 0.13.
    """
    return amount.quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_UP)


def raised(amount: Decimal, step: Decimal) -> Decimal:
    """Give the smallest multiple of ``step`` that is not under ``amount``."""
    return (amount / step).to_integral_value(rounding=ROUND_CEILING) * step


# CLDR's table leaves out digits that are seldom used. ISO 4217, list one, by a copy in a public data set (S2).
ISO_DIGITS = {
    **dict.fromkeys(("AFN", "ALL", "IRR", "KPW", "LAK", "LBP", "MGA", "MMK", "RSD", "SOS", "SYP", "YER"), 2),
    "IQD": 3,
}


@lru_cache
def minor_digits(currency: str) -> int:
    """Give how many digits a currency has behind the point by ISO 4217; CLDR's table has most of them."""
    from babel.numbers import get_currency_precision

    return ISO_DIGITS.get(currency, int(get_currency_precision(currency)))
