"""What buyers of the demo read, worked out by the standard library alone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal


def pounds(amount: Decimal) -> str:
    """An amount; a whole one has no digits for pence."""
    return f"£{amount:,.2f}".removesuffix(".00")


def sides(sides_mm: Sequence[float]) -> str:
    """Sides that say which is which."""
    named = zip(sides_mm, ("wide", "high", "deep"), strict=False)
    return ", ".join(f"{side:.0f} mm {name}" for side, name in named)


def row(words: Iterable[str]) -> str:
    """Words in a row: by commas, or by semicolons where one of them has a comma."""
    said = [word for word in words if word]
    return "; ".join(said) if "," in "".join(said) else ", ".join(said)
