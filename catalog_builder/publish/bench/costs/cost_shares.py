"""What a cost is made of, by kind: the bars of a cost card. Private."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.phrase import phrase
from catalog_builder.pricing.cost import Cost
from catalog_builder.publish.theme.phrasing import Phrasing

ONE_PERCENT = Decimal("0.01")


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """A kind's part of a cost, in words; ``width`` is that of its bar, out of 100."""

    name: str
    amount: str
    percent: str
    width: str


def shares(cost: Cost, groups: Sequence[str], phrasing: Phrasing) -> tuple[Share, ...]:
    """Give the part of each kind that costs anything, the largest first."""
    amounts = {group: cost.of(group) for group in groups}
    parts = sorted(((amount, group) for group, amount in amounts.items() if amount), key=lambda part: -part[0])
    return tuple(
        Share(
            name=phrasing.labels["groups"][group],
            amount=phrasing.wording.money(amount),
            percent=_percent(amount / cost.total, phrasing),
            width=f"{(amount / cost.total * 100).quantize(Decimal('0.01')):f}",
        )
        for amount, group in parts
    )


def _percent(share: Decimal, phrasing: Phrasing) -> str:
    percent = phrasing.wording.percent(max(share, ONE_PERCENT))
    return phrasing.say(phrase("shares.under", percent=percent)) if share < ONE_PERCENT else percent
