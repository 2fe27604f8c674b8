"""A shop's order held against what is offered: codes, what is left, the least order, and the prices that it names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from catalog_builder.mistake import Finding, MistakeError, Mistakes, quoted, suggestion
from catalog_builder.phrase import Money
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.records.selling.channel import Channel, for_shops
from catalog_builder.records.selling.shop_order import ShopOrder


@dataclass(frozen=True, slots=True)
class OrderedVariant:
    """A variant and how many of it are ordered. Private."""

    calculation: VariantCalculation
    count: int


def check_order(
    order: ShopOrder, channels: Mapping[str, Channel], calculations: Sequence[VariantCalculation]
) -> tuple[tuple[OrderedVariant, ...], tuple[Finding, ...]]:
    """Give what is ordered, in the order's own order, and what its maker should look at.

    Raises:
        MistakeError: with every code that is not known or sold out, an order under the least, no channel for shops.
    """
    name = for_shops(channels)
    if not name:
        raise MistakeError.at(
            order.source.place(),
            wrong="no channel of studio.toml is for shops, so that there is no trade price",
            expected='a channel with shown_on = "shops"',
            mend="add one; `catalog-builder guide trade` shows how",
        )
    by_code = {each.offer.sku: each for each in calculations}
    ordered, findings, mistakes = list[OrderedVariant](), list[Finding](), Mistakes()
    for row in order.rows:
        place, code, count = order.source.place(row.line), row.keys.code, row.keys.count or 0
        variant = by_code.get(code)
        if variant is None:
            mistakes.add(
                place,
                wrong=f"the code {quoted(code)} is not on the trade list",
                expected="a code of site_output/bench/trade_list.csv",
                mend=suggestion(code, by_code, "correct it, or take the row out and tell the shop"),
                marked=code,
            )
            continue
        left = _left(variant)
        if left is not None and count > left:
            mistakes.add(
                place,
                wrong=f"{code} is sold out" if not left else f"{count} of {code} are ordered, and there is only {left}",
                expected="what can still be had",
                mend="take the row out and tell the shop" if not left else f"write {left}, and tell the shop",
                marked=code,
            )
        now = variant.prices[name].printed
        if row.keys.price is not None and row.keys.price != now:
            findings.append(
                Finding.of("Q02", place, "order.price_moved", code=code, read=Money(row.keys.price), now=Money(now))
            )
        ordered.append(OrderedVariant(variant, count))
    _check_least(order, channels[name], mistakes)
    mistakes.raise_if_any()
    return tuple(ordered), tuple(findings)


def _left(variant: VariantCalculation) -> int | None:
    """Give how many can be had of a variant; None where as many as are asked for can be made."""
    offer = variant.offer
    if offer.sold:
        return 0
    if offer.recorded == "made to order":
        return None
    return offer.ready if offer.ready is not None else 1 if offer.recorded == "one only" else None


def _check_least(order: ShopOrder, channel: Channel, mistakes: Mistakes) -> None:
    key = "least_first_order" if order.keys.first and channel.least_first_order is not None else "least_order"
    least = channel.least_first_order if key == "least_first_order" else channel.least_order
    if least is not None and order.pieces < least:
        mistakes.add(
            order.source.place(order.rows[-1].line),
            wrong=f"the order ends here with {order.pieces} pieces in all, under the least order of {least}",
            expected=f"{least} pieces or more, as {key} in studio.toml says",
            mend=f"agree with the shop on {least - order.pieces} more, or change {key}",
        )
