"""What a cost is made of, by kind: the bars of a cost card. Private."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.pricing.cost import Cost
from catalog_builder.publish.theme.wording import Wording


@dataclass(frozen=True, slots=True)
class Share:
    """A kind's part of a cost, in words; ``width`` is that of its bar, out of 100."""

    name: str
    amount: str
    percent: str
    width: str


def shares(
    cost: Cost, groups: Sequence[str], names: Mapping[str, str], under: str, wording: Wording
) -> tuple[Share, ...]:
    """Give the part of each kind that costs anything, the largest first; ``under`` words a part under one percent."""
    amounts = {group: cost.of(group) for group in groups}
    parts = sorted(((amount, group) for group, amount in amounts.items() if amount), key=lambda part: -part[0])
    return tuple(
        Share(names[group], wording.money(amount), _percent(amount / cost.total, under, wording), _width(amount, cost))
        for amount, group in parts
    )


def _percent(share: Decimal, under: str, wording: Wording) -> str:
    one = Decimal("0.01")
    return under.format(percent=wording.percent(one)) if share < one else wording.percent(share)


def _width(amount: Decimal, cost: Cost) -> str:
    return f"{(amount / cost.total * 100).quantize(Decimal('0.01')):f}"
