"""How a channel comes by its prices, and which variant carries which others, in phrases. Private."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from decimal import Decimal

from catalog_builder.phrase import Money, Number, Phrase, Quantity, Value, phrase
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Studio

# More prices than these are not listed.
MOST_LISTED = 20


def price_notes(
    variant: VariantCalculation, words: Mapping[str, str], studio: Studio, *, own_rules: bool = False
) -> Iterator[Phrase]:
    """Give what there is to say of a variant's prices; ``words`` names variants by their codes.

    Channels that set their own price, and share it among no variants, are left out unless ``own_rules`` asks for them.
    """
    for name, channel in studio.channels.items():
        hows = tuple(channel_rules(studio, name, variant.product))
        if own_rules or len(hows) > 1 or channel.leader(studio.channels):
            yield phrase("agreement.rule_note", channel=channel.title, how=hows)
        standing = variant.standings[name]
        if standing.shared_by > 1:
            values: dict[str, Value] = {"channel": channel.title, "count": standing.shared_by}
            values["alone"] = Money(standing.alone)
            if len(standing.origin.parts) > 1:
                yield phrase("agreement.shared_usual", **values)
            elif standing.origin.main == variant.offer.sku:
                yield phrase("agreement.shared_own", **values)
            else:
                yield phrase("agreement.shared", variant=words[standing.origin.main], **values)


def hung_phrase(prices: Collection[Decimal]) -> Phrase:
    """Say how many different prices hang on the table, and which; of many, from which to which."""
    different = sorted(set(prices))
    if len(different) > MOST_LISTED:
        ends = {"low": Money(different[0]), "high": Money(different[-1])}
        return phrase("agreement.hung_range", count=len(different), **ends)
    return phrase("agreement.hung_line", count=len(different), prices=tuple(map(Money, different)))


def channel_rules(studio: Studio, name: str, product: Product | None = None) -> Iterator[Phrase]:
    """Give how a channel sets its price, with the word of a ``product`` on what does not change it."""
    channel, title = studio.channels[name], {key: each.title for key, each in studio.channels.items()}
    if channel.follows is not None:
        leader = title[channel.follows]
        if channel.at_percent is None or channel.at_percent == 100:
            yield phrase("agreement.same", channel=leader)
        else:
            percent = Quantity(channel.at_percent / 100, "share", 2)
            yield phrase("agreement.part", percent=percent, channel=leader)
    elif channel.times_trade is not None:
        leader = title[channel.leader(studio.channels)]
        yield phrase("agreement.trade", times=Number(channel.times_trade, 4), channel=leader)
    else:
        yield phrase("agreement.own")
    own = product.keys.same_price_for if product is not None else None
    same = set(channel.same_price_for if own is None else own)
    if same:
        yield phrase(f"agreement.one_for_{'both' if len(same) > 1 else same.pop()}")
    if channel.never_below is not None:
        yield phrase("agreement.held_up", channel=title[channel.never_below])
    if channel.never_above is not None:
        yield phrase("agreement.held_down", channel=title[channel.never_above])
