"""The policy: how a channel turns a cost into a price.

A price before tax P leaves P - fees; the fees are a share f of what the buyer pays and fixed amounts F.
With a tax rate t on the price before tax:

    markup m:   P (1 - f(1 + t)) - F = C (1 + m)
    margin g:   P (1 - f(1 + t)) - F - C = g P
    times k:    P (1 - f(1 + t)) - F = k x the trade price before tax
    follows p:  P                    = p x the price before tax of the channel it follows

A channel that follows one with another tax rate takes what the buyer pays there, and its own tax out of it.

What is printed is then rounded to a price point of the channel: up, unless the channel says otherwise. Rounding never
takes a price under the floor price, which covers the cost and the fees.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from catalog_builder.pricing.cost import Cost
from catalog_builder.records.selling.channel import Channel, PricePoint
from catalog_builder.units import raised, rounded


@dataclass(frozen=True, slots=True)
class Price:
    """What is printed for a variant in a channel. It holds nothing of what the variant costs.

    ``before_tax`` is the price without tax, ``paid`` what the buyer pays; ``printed`` is one of the two.
    """

    printed: Decimal
    before_tax: Decimal
    paid: Decimal


@dataclass(frozen=True, slots=True)
class Earning:
    """What a price means to the maker. Private. ``floor`` is the lowest printed price that covers cost and fees."""

    fees: Decimal
    left_after_fees: Decimal
    profit: Decimal
    margin: Decimal
    an_hour: Decimal
    floor: Decimal


def price_before_tax(channel: Channel, cost: Decimal, lead: Decimal) -> Decimal:
    """Give the price before tax that a channel's rule asks for, unrounded; ``lead`` is what it follows, before tax."""
    if channel.follows is not None:
        return lead * _followed_share(channel)
    share = _fee_share(channel)
    if channel.margin_percent is not None:
        return (cost + channel.fixed_fee) / (1 - share - channel.margin_percent / 100)
    if channel.times_trade is not None:
        target = lead * channel.times_trade
    else:
        target = cost * (1 + (channel.markup_percent or Decimal(0)) / 100)
    return (target + channel.fixed_fee) / (1 - share)


def lead_of(channel: Channel, leader: Channel, price: Price) -> Decimal:
    """Give what a channel follows, before its own tax, of a price in the channel that it follows."""
    if channel.follows is None:
        return price.before_tax
    return price.printed * same_shown(channel, leader) / _shown_share(channel)


@dataclass(frozen=True, slots=True)
class Rule:
    """A channel's rule as a line: ``times`` the cost ``plus`` an amount is printed, up to the price point."""

    times: Decimal
    plus: Decimal

    def shown(self, cost: Decimal) -> Decimal:
        """Give the price of a cost as the rule has it, before it is rounded up."""
        return self.times * cost + self.plus

    def after(self, other: Rule) -> Rule:
        """Give the rule that takes what another gives."""
        return Rule(self.times * other.times, self.times * other.plus + self.plus)


def rule_of(channels: Mapping[str, Channel], name: str) -> Rule:
    """Give a channel's rule as a line in the cost; where it follows another price, that price's rounding left out."""
    channel = channels[name]
    leader = channel.leader(channels)
    if leader:
        return following_rule(channel, channels[leader]).after(rule_of(channels, leader))
    shown, share = _shown_share(channel), _fee_share(channel)
    if channel.margin_percent is not None:
        factor = shown / (1 - share - channel.margin_percent / 100)
        return Rule(factor, factor * channel.fixed_fee)
    factor = shown / (1 - share)
    return Rule(factor * (1 + (channel.markup_percent or Decimal(0)) / 100), factor * channel.fixed_fee)


def following_rule(channel: Channel, leader: Channel) -> Rule:
    """Give the rule of a channel that follows another as a line in what the other prints."""
    if channel.follows is not None:
        return Rule(same_shown(channel, leader) * _followed_share(channel), Decimal(0))
    factor = _shown_share(channel) / (1 - _fee_share(channel))
    return Rule(factor * (channel.times_trade or Decimal(1)) / _shown_share(leader), factor * channel.fixed_fee)


def floor_rule(channel: Channel) -> Rule:
    """Give the floor price as a line in the cost, before it is rounded up."""
    factor = _shown_share(channel) / (1 - _fee_share(channel))
    return Rule(factor, factor * channel.fixed_fee)


def same_shown(channel: Channel, other: Channel) -> Decimal:
    """Give by what a price that another channel prints is multiplied to be the same price as this one prints it."""
    if channel.tax_percent == other.tax_percent:
        return _shown_share(channel) / _shown_share(other)
    paid = 1 + other.tax_percent / 100 if other.tax == "added" else Decimal(1)
    return paid if channel.tax == "included" else paid / (1 + channel.tax_percent / 100)


def set_price(channel: Channel, before_tax: Decimal, digits: int, floor: Decimal = Decimal(0)) -> Price:
    """Round a price before tax to what the channel prints: by its direction, but not by that under a floor."""
    tax = channel.tax_percent / 100
    shown = before_tax * (1 + tax) if channel.tax == "included" else before_tax
    printed = to_point(shown, channel.points, digits, channel.rounding)
    # The floor has the currency's digits: a rule that asks for just the cost asks for the floor.
    if printed < floor <= to_point(shown, (), digits):
        printed = to_point(floor, channel.points, digits)
    return printed_price(channel, printed, digits)


def printed_price(channel: Channel, printed: Decimal, digits: int) -> Price:
    """Give a price by what is printed."""
    tax = channel.tax_percent / 100
    if channel.tax == "included":
        return Price(printed, printed / (1 + tax), printed)
    return Price(printed, printed, rounded(printed * (1 + tax), digits))


def to_point(
    amount: Decimal, points: tuple[PricePoint, ...], digits: int, rounding: Literal["up", "nearest", "down"] = "up"
) -> Decimal:
    """Give the price point that an amount is rounded to, with the currency's digits; halfway goes up.

    A band's points lie over those of the band before and reach up to its ``up_to``; above the last band every amount
    of the currency is one. None is zero. Rounded down, an amount under the first point takes that point. A step that
    is finer than the currency is its minor unit.
    """
    minor = Decimal(1).scaleb(-digits)
    # The last digits of a division without a finite result must not lift a price to the next point.
    amount, below = rounded(amount, 9), Decimal(0)
    for point in (*points, PricePoint(up_to=None, step=minor, less=Decimal(0))):
        step, less = raised(point.step, minor), point.less - point.less % minor
        above = max(raised(amount + less, step), step) - less
        within = amount if point.up_to is None else min(amount, point.up_to)
        below = max(below, (within + less) // step * step - less)
        if point.up_to is None or above <= point.up_to:
            break
    up = rounding == "up" or not below or (rounding == "nearest" and above - amount <= amount - below)
    return (above if up else below).quantize(minor)


def floor_of(channel: Channel, cost: Decimal, digits: int) -> Decimal:
    """Give the lowest printed price that covers a cost and the channel's fees."""
    before_tax = (cost + channel.fixed_fee) / (1 - _fee_share(channel))
    shown = before_tax * (1 + channel.tax_percent / 100) if channel.tax == "included" else before_tax
    return to_point(shown, (), digits)


def read_earning(channel: Channel, price: Price, cost: Cost, rate: Decimal, digits: int) -> Earning:
    """Calculate what is left of a price. ``rate`` is the studio's hourly rate, which the cost already holds.

    An hour at the bench earns what is left after fees and all costs but labour, over the minutes.
    """
    fees = price.paid * channel.fee_percent / 100 + channel.fixed_fee
    left = price.before_tax - fees
    profit = left - cost.total
    labour = cost.minutes / 60 * rate
    return Earning(
        fees,
        left,
        profit,
        profit / price.before_tax if price.before_tax else Decimal(0),
        (profit + labour) / cost.minutes * 60 if cost.minutes else Decimal(0),
        floor_of(channel, cost.total, digits),
    )


def _fee_share(channel: Channel) -> Decimal:
    return channel.fee_percent / 100 * (1 + channel.tax_percent / 100)


def _shown_share(channel: Channel) -> Decimal:
    """Give what is printed for a price before tax of 1."""
    return 1 + channel.tax_percent / 100 if channel.tax == "included" else Decimal(1)


def _followed_share(channel: Channel) -> Decimal:
    return (Decimal(100) if channel.at_percent is None else channel.at_percent) / 100
