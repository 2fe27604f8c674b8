"""Which price is published: that of the price book goes first.

Where the book has a price for a variant and a channel on or before the day, that price is published. Where it has
none, the policy's price is. The policy's price takes the book's place only when the maker says so: then a row is added
wherever it differs from the book's by more than the band, and the record does not hold the price.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from catalog_builder.pricing.policy import Price, printed_price
from catalog_builder.records.selling.channel import Channel
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


@dataclass(frozen=True, slots=True)
class Terms:
    """The day, the currency's digits, whether the record holds the price, and the band that a price may stand in."""

    day: date
    digits: int
    held: bool
    band_percent: Decimal


def channel_prices(
    book: PriceBook, variant: str, channels: Mapping[str, Channel], policy: Mapping[str, Price], terms: Terms
) -> dict[str, ChannelPrice]:
    """Give how the prices of a variant stand in each channel."""
    prices = {}
    for name, channel in channels.items():
        entry = book.last(variant, name, terms.day)
        # A row written by hand may have fewer or more digits than the currency: every output prints the same ones.
        printed = None if entry is None else rounded(entry.price, terms.digits)
        published = policy[name] if printed is None else printed_price(channel, printed, terms.digits)
        gap = abs(policy[name].printed - published.printed)
        within = gap <= published.printed * terms.band_percent / 100
        prices[name] = ChannelPrice(published, policy[name], entry, terms.held, within)
    return prices
