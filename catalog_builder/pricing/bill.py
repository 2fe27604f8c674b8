"""What a buyer is asked for several items together: net, tax and total, and a deposit, all to the last unit.

Tax is worked out once, on the sum, and rounded half up. A deposit carries tax in the proportion of the whole, as a
payment before delivery is taxed when it is made; what is left carries the rest, so that nothing is lost by rounding.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.records.selling.channel import Channel
from catalog_builder.units import rounded


@dataclass(frozen=True, slots=True)
class TaxedAmount:
    """An amount of money and the tax that goes with it."""

    net: Decimal
    tax: Decimal

    @property
    def total(self) -> Decimal:
        """What is paid."""
        return self.net + self.tax


@dataclass(frozen=True, slots=True)
class Bill:
    """All that is asked for. It holds no cost.

    ``amounts`` are those of the lines, tax included or not as the channel prints it.
    """

    amounts: tuple[Decimal, ...]
    due: TaxedAmount
    deposit: TaxedAmount

    @property
    def balance(self) -> TaxedAmount:
        """What is left to pay after the deposit."""
        return TaxedAmount(self.due.net - self.deposit.net, self.due.tax - self.deposit.tax)


def bill_of(channel: Channel, amounts: Sequence[Decimal], digits: int, deposit_percent: Decimal = Decimal(0)) -> Bill:
    """Add up amounts as a channel prints them; ``digits`` are those of the currency, the percentage 0 to 100."""
    printed = sum((rounded(amount, digits) for amount in amounts), Decimal(0))
    rate = channel.tax_percent / 100
    if channel.tax == "included":
        tax = rounded(printed * rate / (1 + rate), digits)
        due = TaxedAmount(printed - tax, tax)
    else:
        due = TaxedAmount(printed, rounded(printed * rate, digits))
    paid = rounded(due.total * deposit_percent / 100, digits)
    tax_paid = rounded(due.tax * paid / due.total, digits) if due.total else Decimal(0)
    return Bill(tuple(rounded(amount, digits) for amount in amounts), due, TaxedAmount(paid - tax_paid, tax_paid))
