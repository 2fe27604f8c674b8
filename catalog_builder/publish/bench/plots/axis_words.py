"""The words along a plot's axes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from babel.dates import format_skeleton

from catalog_builder.publish.theme.wording import Wording


@dataclass(frozen=True, slots=True, kw_only=True)
class AxisWords:
    """Words the amounts of an axis: as money, or as numbers with up to ``places`` digits; and its days."""

    wording: Wording
    places: int | None = None

    def amount(self, amount: float) -> str:
        """Give an amount in words."""
        exact = Decimal(str(amount))
        return self.wording.money(exact) if self.places is None else self.wording.number(exact, self.places)

    def day(self, day: date) -> str:
        """Give a day in words, the first of a month as the month alone."""
        skeleton = "yMMM" if day.day == 1 else "yMMMd"
        return str(format_skeleton(skeleton, day, locale=self.wording.locale))
