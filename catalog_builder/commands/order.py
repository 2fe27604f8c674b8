"""The command ``order``: a shop's order checked, confirmed and listed for packing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from catalog_builder.build import calculate_all, read
from catalog_builder.commands.written_papers import write_papers
from catalog_builder.mistake import WordedFinding
from catalog_builder.phrase import Money, Phrase, phrase
from catalog_builder.pricing.bill import bill_of
from catalog_builder.pricing.calculation import asked_price
from catalog_builder.pricing.order_check import check_order
from catalog_builder.publish.bench.customers.order_papers import (
    ConfirmedItem,
    ConfirmedOrder,
    confirmation,
    packing_list,
)
from catalog_builder.publish.bench.customers.trade_list import retail_price
from catalog_builder.publish.studio_calculation import Progress, StudioCalculation
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.records.selling.channel import for_shops
from catalog_builder.records.selling.shop_order import ShopOrder, read_order
from catalog_builder.units import minor_digits


@dataclass(frozen=True, slots=True)
class OrderRun:
    """What was written, and what is said of it."""

    findings: tuple[WordedFinding, ...]
    lines: tuple[str, ...]


def confirm_order(project: Path, day: date, name: str, progress: Progress) -> OrderRun:
    """Check an order by the prices of its own day, and write its two papers under ``site_output/orders/``.

    Raises:
        MistakeError: the records or the order have mistakes; nothing is written.
        OutputError: the papers cannot be written.
    """
    content, theme = read(project, day)
    order = read_order(project, name)
    calculated = calculate_all(replace(content, day=order.keys.dated), theme, progress)
    confirmed, findings = set_order(calculated, order, day)
    folder = project / "site_output" / "orders" / name
    papers = {"confirmation.pdf": confirmation(confirmed).pdf(), "packing_list.pdf": packing_list(confirmed).pdf()}
    write_papers(folder, papers)
    phrasing = Phrasing.of(theme, content.studio.studio)
    return OrderRun(findings, tuple(map(phrasing.say, _said(confirmed, folder))))


def set_order(
    calculated: StudioCalculation, order: ShopOrder, day: date
) -> tuple[ConfirmedOrder, tuple[WordedFinding, ...]]:
    """Give the papers' content of an order in a calculation of the order's own day; ``day`` is that of printing.

    Raises:
        MistakeError: with everything that cannot be confirmed.
    """
    content = calculated.content
    studio, listings = content.studio, {listing.slug: listing for listing in calculated.listings}
    ordered, findings = check_order(order, studio.channels, calculated.calculations)
    name = for_shops(studio.channels)
    items = tuple(
        ConfirmedItem(
            listing=listings[each.calculation.product.slug],
            offer=each.calculation.offer,
            count=each.count,
            trade=asked_price(studio, each.calculation.prices, name),
            retail=retail_price(studio, each.calculation),
        )
        for each in ordered
    )
    channel = studio.channels[name]
    amounts = [item.count * item.trade.printed for item in items]
    amounts += [order.keys.carriage] if order.keys.carriage else []
    confirmed = ConfirmedOrder(
        studio=studio.studio,
        channel=channel,
        keys=order.keys,
        items=items,
        bill=bill_of(channel, amounts, minor_digits(studio.studio.currency)),
        day=day,
        theme=calculated.theme,
    )
    return confirmed, tuple(map(calculated.phrasing.finding, findings))


def _said(order: ConfirmedOrder, folder: Path) -> Iterator[Phrase]:
    yield phrase("commands.prices_of", day=order.keys.dated)
    for item in order.items:
        price = Money(item.trade.printed)
        yield phrase("order.said_item", count=item.count, title=item.listing.title, words=item.offer.words, price=price)
    total = Money(order.bill.due.total)
    taxed = phrase("order.said_total_taxed", count=order.pieces, total=total, tax=Money(order.bill.due.tax))
    yield taxed if order.bill.due.tax else phrase("order.said_total", count=order.pieces, total=total)
    for paper in ("confirmation.pdf", "packing_list.pdf"):
        yield phrase("commands.print_at", path=str(folder / paper))
