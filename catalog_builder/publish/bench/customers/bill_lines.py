"""The foot of a paper with prices, in words: net, tax, total, deposit and what is left to pay."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.phrase import Money, phrase
from catalog_builder.pricing.bill import Bill
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.records.selling.channel import Channel


@dataclass(frozen=True, slots=True, kw_only=True)
class BillLine:
    """A line of the foot: what it is, how much, what tax is in it (may be empty), and whether it stands out."""

    name: str
    amount: str
    note: str
    strong: bool


def bill_lines(bill: Bill, channel: Channel, deposit_percent: Decimal, phrasing: Phrasing) -> Iterator[BillLine]:
    """Give the lines of the foot; tax is named only where there is some, a deposit only where one is asked for."""
    wording, taxed = phrasing.wording, bool(channel.tax_percent)

    def line(key: str, amount: Decimal, tax: Decimal | None = None, *, strong: bool = False, **values: str) -> BillLine:
        note = phrasing.say(phrase("bill.of_which", tax=Money(tax))) if taxed and tax is not None else ""
        name = phrasing.say(phrase(f"bill.{key}", **values))
        return BillLine(name=name, amount=wording.money(amount), note=note, strong=strong)

    percent = wording.fine_percent(channel.tax_percent / 100)
    if taxed and channel.tax == "added":
        yield line("net", bill.due.net)
        yield line("tax", bill.due.tax, percent=percent)
    inside = bill.due.tax if channel.tax == "included" else None
    yield line("total", bill.due.total, inside, strong=True)
    if bill.deposit.total:
        share = wording.fine_percent(deposit_percent / 100)
        yield line("deposit", bill.deposit.total, bill.deposit.tax, percent=share)
        yield line("balance", bill.balance.total, bill.balance.tax)
