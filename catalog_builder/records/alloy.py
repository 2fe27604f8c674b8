"""Alloys: their parts by mass, and their density."""

from __future__ import annotations

import re
from decimal import Decimal

# CRC Handbook of Chemistry and Physics, element data, as carried by element libraries (g/cm3).
# Bismuth and antimony are from memory.
ELEMENT_DENSITY = {
    "Ag": Decimal("10.5"),
    "Bi": Decimal("9.79"),
    "Cu": Decimal("8.96"),
    "Pb": Decimal("11.3"),
    "Sb": Decimal("6.68"),
    "Sn": Decimal("7.287"),
    "Zn": Decimal("7.134"),
}


def alloy_parts(alloy: str) -> dict[str, Decimal]:
    """Read an alloy such as Sn60Pb40 as parts by mass, which add up to 1.

    Raises:
        ValueError: it is not of that form, or an element's density is not known.
    """
    elements = re.findall(r"([A-Z][a-z]?)(\d+(?:\.\d+)?)", alloy)
    if not elements or "".join(symbol + part for symbol, part in elements) != alloy:
        raise ValueError(alloy)
    if any(symbol not in ELEMENT_DENSITY for symbol, _ in elements):
        raise ValueError(alloy)
    total = sum(Decimal(part) for _, part in elements)
    if total <= 0:
        raise ValueError(alloy)
    return {symbol: Decimal(part) / total for symbol, part in elements}


def alloy_density(alloy: str) -> float:
    """Density in g/cm3 by the rule of mixtures for masses: 1/rho = sum of w_i/rho_i (ideal mixing).

    Sn60Pb40 gives 8.4935 g/cm3; solder tables print 8.50.
    """
    return float(1 / sum(part / ELEMENT_DENSITY[symbol] for symbol, part in alloy_parts(alloy).items()))
