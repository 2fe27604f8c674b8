"""Bills, against invoices that were published: a trade discount before tax, and payments before delivery.

Premier Training, bookkeeping course, chapter 2, page 18, invoice of Dawson Supplies (D). Ruppe, Umsatzsteuer-Handbuch
2019, Linde, with the text of the Austrian tax office's guideline UStR 2000, margin no. 1525, example 1: the final
invoice for a cable car's valley station, with three payments on account (A; its last line was not shown, and is what is
left of the others). HMRC, internal manual VATREC12010: the tax of an invoice may be rounded to the nearer penny (H).
All three were read in stored copies of the pages.
"""

from __future__ import annotations

from decimal import Decimal

from catalog_builder.pricing.bill import TaxedAmount, bill_of
from catalog_builder.records.selling.channel import Channel


def channel(tax: str) -> Channel:
    """A channel with 20 % tax."""
    keys = {"title": "One", "shown_on": "private", "markup_percent": 0, "tax_percent": 20, "tax": tax}
    return Channel.model_validate(keys)


def amount(net: str, tax: str) -> TaxedAmount:
    """An amount and its tax."""
    return TaxedAmount(Decimal(net), Decimal(tax))


def test_tax_is_on_what_the_trade_discount_leaves() -> None:
    """50 rolls at 75.00 less 10 % are 3,375.00; with 20 % tax, 675.00, they come to 4,050.00 (D)."""
    trade_price = Decimal("75.00") * (1 - Decimal("0.10"))
    bill = bill_of(channel("added"), [50 * trade_price], 2)
    assert bill.due == amount("3375.00", "675.00")
    assert bill.due.total == Decimal("4050.00")


def test_payments_before_delivery_carry_their_tax() -> None:
    """Of 9,000,000 and 1,800,000 tax, payments of 1.8, 2.4 and 3.6 million carry 300, 400 and 600 thousand tax (A)."""
    payments = {"1800000": ("1500000", "300000"), "2400000": ("2000000", "400000"), "3600000": ("3000000", "600000")}
    left = amount("9000000", "1800000")
    for paid, parts in payments.items():
        bill = bill_of(channel("added"), [Decimal("9000000")], 2, Decimal(paid) / Decimal("10800000") * 100)
        assert bill.due == amount("9000000", "1800000")
        assert bill.deposit == amount(*parts)
        left = TaxedAmount(left.net - bill.deposit.net, left.tax - bill.deposit.tax)
    assert (left.net, left.tax, left.total) == (Decimal("2500000"), Decimal("500000"), Decimal("3000000"))


def test_tax_is_rounded_once_to_the_nearer_penny() -> None:
    """Three lines of 0.99 with 20 % added: 0.594 of tax on 2.97 is 0.59, where line by line it would be 0.60 (H)."""
    bill = bill_of(channel("added"), [Decimal("0.99")] * 3, 2)
    assert bill.due == amount("2.97", "0.59")
