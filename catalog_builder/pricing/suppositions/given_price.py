"""The other way round: what a given price leaves of a making, and how little would have to change for it to pay.

A price pays where fees, materials, overheads and every minute at the studio's hourly rate are covered. What is left
after fees and materials, L, pays for the minutes M = 60 L / (hourly rate + overheads of an hour).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Generic, TypeVar

from catalog_builder.pricing.cost import Cost
from catalog_builder.pricing.policy import Earning, printed_price, read_earning
from catalog_builder.records.selling.channel import Channel
from catalog_builder.records.studio import Bench
from catalog_builder.units import rounded


@dataclass(frozen=True, slots=True)
class GivenPrice:
    """A price that is given, printed in a channel; ``bench`` says what an hour is paid and carries."""

    channel: Channel
    printed: Decimal
    bench: Bench
    digits: int

    @property
    def target_cost(self) -> Decimal | None:
        """The cost that leaves the margin or the markup of the channel; None where it follows another price.

        Market price less the profit that is asked for is the target cost.
        """
        price = printed_price(self.channel, self.printed, self.digits)
        left = self.leaves(Cost((), Decimal(0), Decimal(0))).earning.left_after_fees
        if self.channel.margin_percent is not None:
            return left - price.before_tax * self.channel.margin_percent / 100
        if self.channel.markup_percent is not None:
            return left / (1 + self.channel.markup_percent / 100)
        return None

    def leaves(self, cost: Cost) -> Remainder:
        """Give what it leaves of a cost."""
        price = printed_price(self.channel, self.printed, self.digits)
        earning = read_earning(self.channel, price, cost, self.bench.hourly_rate, self.digits)
        materials = cost.total - cost.of("labour", "overhead")
        hour = self.bench.hourly_rate + self.bench.overhead_an_hour
        return Remainder(cost, earning, materials, (earning.left_after_fees - materials) / hour * 60)


@dataclass(frozen=True, slots=True)
class Remainder:
    """What a price leaves: ``minutes`` are those that it pays for, less than none where materials alone cost more.

    ``materials`` are all costs but labour and overheads.
    """

    cost: Cost
    earning: Earning
    materials: Decimal
    minutes: Decimal

    @property
    def pays(self) -> bool:
        """Whether the cost is covered, to what the last digits of a division leave."""
        return rounded(self.earning.profit, 9) >= 0


At = TypeVar("At")


@dataclass(frozen=True, slots=True)
class Alteration(Generic[At]):
    """A making with one thing changed from ``old`` to ``new``, and what the price leaves of it."""

    old: At
    new: At
    remainder: Remainder


def least_change(near: int, far: int, leaves: Callable[[int], Remainder | None]) -> Alteration[int] | None:
    """Give the number nearest to ``near`` at which a price pays, or ``far`` where it does not even pay there.

    ``leaves`` is None where nothing can be made so; it pays the more, the farther a number is from ``near``. None where
    there is no room between the two, or nothing can be made at ``far``.
    """
    best = leaves(far) if near != far else None
    if best is None:
        return None
    old, new = near, far
    while best.pays and abs(new - near) > 1:
        middle = (near + new) // 2
        remainder = leaves(middle)
        if remainder is not None and remainder.pays:
            new, best = middle, remainder
        else:
            near = middle
    return Alteration(old, new, best)
