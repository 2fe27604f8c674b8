"""All of a plan: its glass and layout, its hours against those that are left, and what it must buy. Private."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from catalog_builder.planning.hours import StepHours, read_hours
from catalog_builder.planning.plan_layout import PlanGlass
from catalog_builder.planning.shopping import Need, read_needs
from catalog_builder.records.materials import Materials
from catalog_builder.records.stock import Stock
from catalog_builder.records.studio import Studio


@dataclass(frozen=True, slots=True)
class PlannedBatch:
    """A plan's glass, hours and shopping as of a day."""

    glass: PlanGlass
    steps: tuple[StepHours, ...]
    needs: tuple[Need, ...]
    days_left: int
    hours_left: Decimal

    @property
    def items(self) -> int:
        """How many items are made."""
        return sum(ordered.count for ordered, _ in self.glass.ordered_variants)

    @property
    def pieces(self) -> int:
        """How many pieces are cut, spares left out."""
        return sum(glass.count for glass in self.glass.glasses)

    @property
    def spares(self) -> int:
        """How many spares there is glass for."""
        return sum(glass.spares for glass in self.glass.glasses)

    @property
    def hands_on_hours(self) -> Decimal:
        """The hours of hands-on work."""
        return sum((step.hands_on for step in self.steps), Decimal(0)) / 60

    @property
    def waiting_hours(self) -> Decimal:
        """The hours of waiting, one after the other."""
        return sum((step.waiting for step in self.steps), Decimal(0)) / 60

    @property
    def packs(self) -> int:
        """How many packs are bought."""
        return sum(need.packs for need in self.needs)

    @property
    def cost(self) -> Decimal:
        """What is paid for them."""
        return sum((need.cost for need in self.needs), Decimal(0))


def plan_batch(glass: PlanGlass, studio: Studio, materials: Materials, stock: Stock, day: date) -> PlannedBatch:
    """Calculate the hours and the shopping of a plan as of a day."""
    return PlannedBatch(
        glass,
        read_hours(studio, glass.ordered_variants),
        read_needs(glass, materials, stock, day),
        glass.plan.days_left(day),
        glass.plan.hours_left(day),
    )
