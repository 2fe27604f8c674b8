"""Why a price changed: the change split exactly over its causes.

A price is ``times`` the cost ``plus`` an amount, up to a price point, and the cost is a sum of quantities times unit
prices. So with o for old and n for new

    P_n - P_o = t_n x sum (q_o (p_n - p_o) + p_n (q_n - q_o))  +  (t_n - t_o) C_o + (s_n - s_o)  +  (r_n - r_o)

which is, in this order, what moved because of unit prices and quantities, because of the channel's terms, and
because of rounding up. The parts are then rounded to the currency's digits so that they add up to the change.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal

from catalog_builder.pricing.policy import Rule

Lines = Mapping[str, tuple[Decimal, Decimal]]


@dataclass(frozen=True, slots=True)
class Basis:
    """What a price was made of: quantity and unit price by key, the channel's rule, and what was printed."""

    lines: Lines
    rule: Rule
    printed: Decimal

    @property
    def cost(self) -> Decimal:
        """The sum of the lines."""
        return sum((quantity * price for quantity, price in self.lines.values()), Decimal(0))

    @property
    def rounding(self) -> Decimal:
        """What rounding up to the price point, or a price that was held, added to the rule's own."""
        return self.printed - self.rule.shown(self.cost)


@dataclass(frozen=True, slots=True)
class Cause:
    """A part of a change; ``key`` says of what.

    ``kind`` is price, quantity, rate, overheads, minutes, terms or rounding.
    """

    kind: str
    key: str
    amount: Decimal


def split_change(old: Basis, new: Basis, digits: int) -> tuple[Cause, ...]:
    """Split the change of a printed price over its causes, the largest first; their sum is the change itself."""
    parts: dict[tuple[str, str], Decimal] = {}

    def add(kind: str, key: str, amount: Decimal) -> None:
        parts[kind, key] = parts.get((kind, key), Decimal(0)) + amount

    for key in sorted({*old.lines, *new.lines}):
        none = (Decimal(0), Decimal(0))
        (quantity_before, price_before), (quantity, price) = old.lines.get(key, none), new.lines.get(key, none)
        # A line that is new or gone changes by its quantity alone, at the one price that is known of it.
        price_before = price if key not in old.lines else price_before
        price = price_before if key not in new.lines else price
        add(*_of_price(key), new.rule.times * quantity_before * (price - price_before))
        add(*_of_quantity(key), new.rule.times * price * (quantity - quantity_before))
    terms = (new.rule.times - old.rule.times) * old.cost + new.rule.plus - old.rule.plus
    add("terms", "", terms)
    add("rounding", "", new.rounding - old.rounding)
    return _rounded(parts, new.printed - old.printed, digits)


def _of_price(key: str) -> tuple[str, str]:
    if key.startswith("step:"):
        return "rate", ""
    return ("overheads", "") if key == "overheads" else ("price", key)


def _of_quantity(key: str) -> tuple[str, str]:
    if key.startswith("step:"):
        return "minutes", key.removeprefix("step:")
    return ("minutes", "overheads") if key == "overheads" else ("quantity", key)


def _rounded(parts: Mapping[tuple[str, str], Decimal], total: Decimal, digits: int) -> tuple[Cause, ...]:
    """Round parts down to the currency's digits, and give what is left over to those that lost most by it."""
    minor = Decimal(1).scaleb(-digits)
    floors = {key: amount.quantize(minor, rounding=ROUND_FLOOR) for key, amount in parts.items()}
    # The total has no more digits than the currency, so that what is left over is a whole number of minor units.
    left = int(((total - sum(floors.values(), Decimal(0))) / minor).to_integral_value())
    lost = sorted(parts, key=lambda key: (floors[key] - parts[key], key))
    for key in lost[:left]:
        floors[key] += minor
    causes = [Cause(kind, key, amount) for (kind, key), amount in floors.items() if amount]
    return tuple(sorted(causes, key=lambda cause: (-abs(cause.amount), cause.kind, cause.key)))
