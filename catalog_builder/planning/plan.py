"""All of a plan: its glass and layout, its hours against those that are left, and what it must buy. Private."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.planning.hours import StepHours, read_hours
from catalog_builder.planning.plan_layout import PlanGlass, read_plan_glass
from catalog_builder.planning.shopping import Need, read_needs, total_cost
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.records.batch_plan import Plan
from catalog_builder.records.content import Content


@dataclass(frozen=True, slots=True)
class PlannedBatch:
    """A plan worked out as of the build's day."""

    found: PlanGlass
    steps: tuple[StepHours, ...]
    needs: tuple[Need, ...]
    days_left: int
    hours_left: Decimal

    @property
    def items(self) -> int:
        """How many items are made."""
        return sum(ordered.count for ordered, _ in self.found.wanted)

    @property
    def pieces(self) -> int:
        """How many pieces are cut, spares left out."""
        return sum(glass.count for glass in self.found.glasses)

    @property
    def spares(self) -> int:
        """How many spares there is glass for."""
        return sum(glass.spares for glass in self.found.glasses)

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
        return total_cost(self.needs)


def plan_batch(content: Content, plan: Plan, calculations: Sequence[VariantCalculation]) -> PlannedBatch:
    """Work out a plan from the reckonings of its variants."""
    found = read_plan_glass(content, plan, calculations)
    return PlannedBatch(
        found,
        read_hours(content.studio, found.wanted),
        read_needs(content, found),
        plan.days_left(content.day),
        plan.hours_left(content.day),
    )
