"""Which price is published: that of the price book goes first.

Where the book has a price for a variant and a channel on or before the day, that price is published. Where it has
none, the policy's price is. The policy's price takes the book's place only when the maker says so: then a row is added
wherever it differs from the book's by more than the band, and the record does not hold the price.

A channel that follows the trade price follows the one in force. What it would write follows the one that would be
written beside it, so that both come into force together.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from catalog_builder.pricing.policy import Price, policy_price, printed_price
from catalog_builder.records.selling.channel import Channel, for_shops
from catalog_builder.records.selling.price_book import BookKeys, PriceBook
from catalog_builder.units import rounded


@dataclass(frozen=True, slots=True)
class ChannelPrice:
    """A variant's price in one channel: what is published, what the policy would print, and what the book says."""

    published: Price
    policy: Price
    entry: BookKeys | None
    held: bool
    within_band: bool

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
    """The day, the currency's digits, whether the record holds the price, and the band that a price may stand in."""

    day: date
    digits: int
    held: bool
    band_percent: Decimal


def channel_prices(
    book: PriceBook, variant: str, channels: Mapping[str, Channel], cost: Decimal, terms: Terms
) -> dict[str, ChannelPrice]:
    """Give how the prices of a variant that costs so much stand in each channel."""
    prices: dict[str, ChannelPrice] = {}
    shops = for_shops(channels)
    for name, channel in sorted(channels.items(), key=lambda item: item[1].times_trade is not None):
        digits = terms.digits
        policy = published = policy_price(channel, cost, digits)
        if channel.times_trade is not None:
            trade = prices[shops]
            policy = policy_price(channel, cost, digits, trade.next.before_tax)
            published = policy_price(channel, cost, digits, trade.published.before_tax)
        entry = book.last(variant, name, terms.day)
        if entry is not None:
            # A row written by hand may have fewer or more digits than the currency: every output prints the same ones.
            published = printed_price(channel, max(rounded(entry.price, digits), Decimal(1).scaleb(-digits)), digits)
        gap = abs(policy.printed - published.printed)
        within = gap <= published.printed * terms.band_percent / 100
        prices[name] = ChannelPrice(published, policy, entry, terms.held, within)
    return {name: prices[name] for name in channels}
