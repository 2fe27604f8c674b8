"""Which price is published: that of the price book goes first.

Where the book has a price for a variant and a channel on or before the day, that price is published. Where it has
none, the policy's price is. The policy's price takes the book's place only when the maker says so: then a row is added
wherever it differs from the book's by more than the band, and the record does not hold the price. Variants of one price
move together: while one of them would move, or they are not published at one price, the band keeps none of them.

A channel that looks at another's price looks at the one in force. What it would write looks at the one that would be
written beside it, so that both come into force together.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from catalog_builder.pricing.policy import Price, printed_price
from catalog_builder.pricing.price_group import Member, Origin, Setting, SettledPrice, group_price, groups_of
from catalog_builder.records.selling.channel import Channel, Choice, GroupPrice
from catalog_builder.records.selling.channel_check import looked_at, pricing_order
from catalog_builder.records.selling.price_book import BookKeys, PriceBook
from catalog_builder.units import rounded


@dataclass(frozen=True, slots=True)
class ChannelPrice:
    """A variant's price in one channel: what is published, what the policy would print, and what the book says.

    ``origin`` is what the policy's price follows from. ``group`` is the code of the first of all variants that have
    this one price, ``shared_by`` how many they are; ``alone`` is what the policy would print for the variant by itself.
    """

    published: Price
    policy: Price
    entry: BookKeys | None
    held: bool
    within_band: bool
    origin: Origin
    group: str
    shared_by: int
    alone: Decimal

    @property
    def moved(self) -> bool:
        """Whether the policy asks for another price than the one that stands, by more than the band."""
        return self.entry is not None and self.policy.printed != self.published.printed and not self.within_band

    @property
    def to_write(self) -> bool:
        """Whether recording today's prices would add a row to the book."""
        return self.entry is None or (self.moved and not self.held)

    @property
    def next(self) -> Price:
        """What is published once today's prices are recorded."""
        return self.policy if self.to_write else self.published


@dataclass(frozen=True, slots=True)
class Terms:
    """The day, the currency's digits, whether the record holds the price, and the band that a price may stand in.

    ``same_price_for`` and ``group_price`` are the product's own words on prices, None where it leaves them to channels.
    """

    day: date
    digits: int
    held: bool
    band_percent: Decimal
    same_price_for: tuple[Choice, ...] | None = None
    group_price: GroupPrice | None = None


# A product's prices in each channel, by the codes of its variants.
Standings = Mapping[str, Mapping[str, ChannelPrice]]


def product_prices(
    book: PriceBook, channels: Mapping[str, Channel], members: Sequence[Member], terms: Terms
) -> Standings:
    """Give how the prices of a product's variants stand: by the code of each, by channel."""
    standings: dict[str, dict[str, ChannelPrice]] = {}
    for name in pricing_order(channels):
        standings[name] = {}
        for group in groups_of(channels[name], members, terms.same_price_for):
            standings[name] |= _group_standings(book, channels, name, group, standings, terms)
    return {member.sku: {name: standings[name][member.sku] for name in channels} for member in members}


def _group_standings(
    book: PriceBook,
    channels: Mapping[str, Channel],
    name: str,
    group: Sequence[Member],
    before: Mapping[str, Mapping[str, ChannelPrice]],
    terms: Terms,
) -> dict[str, ChannelPrice]:
    """Give how the prices of a group stand in a channel; ``before`` has those of the channels that it looks at."""
    channel, digits = channels[name], terms.digits
    looked = {other: before[other] for other in looked_at(channels, name)}
    coming = {
        other: {sku: SettledPrice(each.next, each.origin) for sku, each in prices.items()}
        for other, prices in looked.items()
    }
    setting = Setting(channels, name, coming, digits, terms.group_price)
    policy = unbooked = group_price(setting, group)
    if looked:
        in_force = {
            other: {sku: SettledPrice(each.published, each.origin) for sku, each in prices.items()}
            for other, prices in looked.items()
        }
        unbooked = group_price(replace(setting, others=in_force), group)
    entries = {member.sku: book.last(member.sku, name, terms.day) for member in group}
    published = {sku: _printed(channel, entry, digits) or unbooked.price for sku, entry in entries.items()}
    prices = {price.printed for price in published.values()}
    within = len(prices) == 1 and all(
        abs(policy.price.printed - price) <= price * terms.band_percent / 100 for price in prices
    )
    return {
        member.sku: ChannelPrice(
            published[member.sku],
            policy.price,
            entries[member.sku],
            terms.held,
            within,
            policy.origin,
            group[0].sku,
            len(group),
            group_price(setting, (member,)).price.printed if len(group) > 1 else policy.price.printed,
        )
        for member in group
    }


def _printed(channel: Channel, entry: BookKeys | None, digits: int) -> Price | None:
    """Give the price of a row of the book."""
    if entry is None:
        return None
    # A row written by hand may have fewer or more digits than the currency: every output prints the same ones.
    return printed_price(channel, max(rounded(entry.price, digits), Decimal(1).scaleb(-digits)), digits)
