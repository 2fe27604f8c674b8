"""Costs and minutes for tests that are not about how they came about."""

from __future__ import annotations

from decimal import Decimal

from catalog_builder.making.labour import StepTime
from catalog_builder.phrase import Phrase
from catalog_builder.pricing.cost import Cost, CostLine

UNSAID = Phrase("basis.nothing")


def cost_of(total: Decimal, minutes: Decimal = Decimal(0)) -> Cost:
    """A cost of one line."""
    line = CostLine("glass", "All", Decimal(1), "each", total, UNSAID, "", UNSAID, "all")
    return Cost((line,), minutes, Decimal(0))


def cut_time(minutes: Decimal, waiting: Decimal = Decimal(0)) -> StepTime:
    """Minutes of the step ``cut``."""
    return StepTime("cut", "Cut", minutes, waiting, UNSAID)
