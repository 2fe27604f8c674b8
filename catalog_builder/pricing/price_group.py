"""The price of variants that a buyer sees as one thing, and which of their costs it follows from.

Where a channel or a product says that glass or finish does not change the price, the variants of a size that differ in
nothing else have one price. It is what the dearest of them needs, or the usual: the average of what each needs, weighed
by how many are planned, were made and sold, but not under the floor price of any. A price is then held down to that of
another channel, and up to that of another one. The floor price goes before both, and up before down.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.pricing.policy import (
    Price,
    Rule,
    floor_of,
    floor_rule,
    following_rule,
    lead_of,
    price_before_tax,
    printed_price,
    rule_of,
    same_shown,
    set_price,
    to_point,
)
from catalog_builder.records.selling.channel import Channel, Choice, GroupPrice


@dataclass(frozen=True, slots=True)
class Member:
    """A variant of a product as its price sees it. ``count`` is how many of it are planned, were made and sold."""

    sku: str
    size: str
    finish: str
    glass: str
    cost: Decimal
    count: int = 0


@dataclass(frozen=True, slots=True)
class Origin:
    """What a price follows from: a rule, and the part that the cost of each variant has in what it is applied to."""

    rule: Rule
    parts: tuple[tuple[str, Decimal], ...]

    @property
    def main(self) -> str:
        """The code of the variant whose cost has the largest part."""
        return max(self.parts, key=lambda part: part[1])[0]

    def after(self, rule: Rule) -> Origin:
        """Give the origin of a price that another rule makes of this one."""
        return Origin(rule.after(self.rule), self.parts)


@dataclass(frozen=True, slots=True)
class SettledPrice:
    """A price by the policy, and where it comes from."""

    price: Price
    origin: Origin


# What each variant of a product asks for in a channel, by its code.
SettledPrices = Mapping[str, SettledPrice]


def groups_of(
    channel: Channel, members: Sequence[Member], same_price_for: tuple[Choice, ...] | None = None
) -> list[tuple[Member, ...]]:
    """Put a product's variants of one price together; ``same_price_for`` is the product's own word."""
    same = channel.same_price_for if same_price_for is None else same_price_for
    groups: dict[tuple[str, str, str], list[Member]] = {}
    for member in members:
        key = member.size, "" if "finish" in same else member.finish, "" if "glass" in same else member.glass
        groups.setdefault(key, []).append(member)
    return [tuple(group) for group in groups.values()]


@dataclass(frozen=True, slots=True)
class Setting:
    """Where a price is set: in the channel ``name``, beside the prices of the ``others`` that it looks at.

    ``way`` is the product's own word on what a group asks for.
    """

    channels: Mapping[str, Channel]
    name: str
    others: Mapping[str, SettledPrices]
    digits: int
    way: GroupPrice | None = None

    @property
    def channel(self) -> Channel:
        """The channel in which the price is set."""
        return self.channels[self.name]

    @property
    def leader(self) -> str:
        """The name of the channel that it follows; empty where it follows none."""
        return self.channel.leader(self.channels)


def group_price(setting: Setting, group: Sequence[Member]) -> SettledPrice:
    """Set the one price of a group of variants in a channel."""
    channel, digits = setting.channel, setting.digits
    asked = [(*_asked(setting, member), member) for member in group]
    dearest = max(group, key=lambda member: member.cost)
    if (setting.way or channel.group_price) == "usual":
        target, origin = _usual(asked)
        lowest = price_before_tax(_at_cost(channel), dearest.cost, Decimal(0))
        if target < lowest and not setting.leader:
            target, origin = lowest, _floor_origin(channel, dearest)
    else:
        target, origin, _ = max(asked, key=lambda each: each[0])
    price = set_price(channel, target, digits, floor_of(channel, dearest.cost, digits))
    return _held(setting, group, SettledPrice(price, origin), dearest)


def _asked(setting: Setting, member: Member) -> tuple[Decimal, Origin]:
    """Give what a variant needs by itself, before tax, and the origin of it."""
    channel, channels = setting.channel, setting.channels
    if not setting.leader:
        need = price_before_tax(channel, member.cost, Decimal(0))
        return need, Origin(rule_of(channels, setting.name), ((member.sku, Decimal(1)),))
    leader, lead = channels[setting.leader], setting.others[setting.leader][member.sku]
    need = price_before_tax(channel, member.cost, lead_of(channel, leader, lead.price))
    return need, lead.origin.after(following_rule(channel, leader))


def _at_cost(channel: Channel) -> Channel:
    """Give a channel that asks for cost and fees alone."""
    own = {"markup_percent": Decimal(0), "margin_percent": None, "times_trade": None, "follows": None}
    return channel.model_copy(update=own)


def _floor_origin(channel: Channel, member: Member) -> Origin:
    return Origin(floor_rule(channel), ((member.sku, Decimal(1)),))


def _usual(asked: Sequence[tuple[Decimal, Origin, Member]]) -> tuple[Decimal, Origin]:
    """Weigh what variants need by how many there are of each; where there are none at all, all weigh the same."""
    total = sum(member.count for _, _, member in asked)
    shares = [Decimal(member.count) / total if total else Decimal(1) / len(asked) for _, _, member in asked]
    target, plus, parts = Decimal(0), Decimal(0), dict[str, Decimal]()
    for share, (need, origin, _) in zip(shares, asked, strict=True):
        if share:
            target += share * need
            plus += share * origin.rule.plus
            for sku, part in origin.parts:
                parts[sku] = parts.get(sku, Decimal(0)) + share * origin.rule.times * part
    times = sum(parts.values())
    if not times:
        return target, Origin(Rule(Decimal(0), plus), tuple((sku, Decimal(0)) for sku in parts))
    return target, Origin(Rule(times, plus), tuple((sku, part / times) for sku, part in parts.items()))


def _held(setting: Setting, group: Sequence[Member], asked: SettledPrice, dearest: Member) -> SettledPrice:
    """Hold a price down to that of another channel, not under its floor price, and up to that of another."""
    channel, digits, held = setting.channel, setting.digits, asked
    if channel.never_above is not None:
        limit, origin = min(_limits(setting, channel.never_above, group), key=lambda each: each[0])
        if held.price.printed > limit:
            printed = to_point(limit, channel.points, digits, "down")
            # Under the first price point there is none to go down to.
            printed = printed if printed <= limit else to_point(limit, (), digits, "down")
            if printed < floor_of(channel, dearest.cost, digits) <= asked.price.printed:
                printed = to_point(floor_of(channel, dearest.cost, digits), channel.points, digits)
                origin = _floor_origin(channel, dearest)
            held = SettledPrice(printed_price(channel, printed, digits), origin)
    if channel.never_below is not None:
        limit, origin = max(_limits(setting, channel.never_below, group), key=lambda each: each[0])
        if held.price.printed < limit:
            held = SettledPrice(printed_price(channel, to_point(limit, channel.points, digits), digits), origin)
    return held


def _limits(setting: Setting, other: str, group: Sequence[Member]) -> Iterator[tuple[Decimal, Origin]]:
    """Give another channel's price of each variant of a group as this channel prints it."""
    rule = Rule(same_shown(setting.channel, setting.channels[other]), Decimal(0))
    for member in group:
        limit = setting.others[other][member.sku]
        yield rule.shown(limit.price.printed), limit.origin.after(rule)
