"""What must hold of channels, each for itself and together; and the order in which their prices are set."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise

from catalog_builder.mistake import Mistakes, listed, quoted, suggestion
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.toml import key_line
from catalog_builder.records.selling.channel import Channel, for_shops

# The keys that name another channel.
NAMING = ("follows", "never_below", "never_above")


def pricing_order(channels: Mapping[str, Channel]) -> tuple[str, ...]:
    """Give the names of channels so that each comes after those whose prices it looks at.

    Raises:
        CycleError: channels look at each other in a ring.
    """
    return tuple(TopologicalSorter({name: looked_at(channels, name) for name in channels}).static_order())


def looked_at(channels: Mapping[str, Channel], name: str) -> tuple[str, ...]:
    """Give the channels whose prices a channel follows or is held to."""
    channel = channels[name]
    named = (channel.leader(channels), channel.never_below, channel.never_above)
    return tuple(dict.fromkeys(other for other in named if other))


def check_channels(channels: Mapping[str, Channel], source: Source, mistakes: Mistakes) -> None:
    """Refuse channels that contradict themselves or each other."""
    for name, channel in channels.items():
        place = source.place(key_line(source.text, ("channels", name)))
        ways = [channel.markup_percent, channel.margin_percent, channel.times_trade, channel.follows]
        if sum(way is not None for way in ways) != 1:
            mistakes.add(
                place,
                wrong=f"the channel {name!r} does not say in one way how its price is set",
                expected="exactly one of markup_percent, margin_percent, times_trade, follows",
                mend="keep the one you mean and take the others out",
            )
        if channel.times_trade is not None and for_shops(channels) in ("", name):
            mistakes.add(
                place,
                wrong=f"the channel {name!r} follows the trade price, but there is none",
                expected='another channel with shown_on = "shops" that sets its price by markup or margin',
                mend='write shown_on = "shops" in the channel of your trade prices, or use markup_percent here',
            )
        share = channel.fee_percent * (1 + channel.tax_percent / 100) + (channel.margin_percent or 0)
        if share >= 100:
            mistakes.add(
                place,
                wrong=f"in the channel {name!r} fees and margin take the whole price ({share} %)",
                expected="fee_percent and margin_percent under 100 together",
                mend="lower one of the two",
            )
        _check_prices(name, channel, source, mistakes)
        points = channel.price_points
        limits = [point.up_to for point in points]
        rising = all(low is not None and (high is None or low < high) for low, high in pairwise(limits))
        if points and (not rising or any(point.less >= point.step for point in points)):
            line = key_line(source.text, ("channels", name, "price_points"))
            mistakes.add(
                source.place(line) if line else place,
                wrong=f"the price points of the channel {name!r} cannot be used",
                expected="rising up_to, only the last without it, and `less` smaller than `step`",
                mend="put them in rising order",
            )
    for audience, least in (("catalogue", 1), ("stall", 1), ("shops", 0)):
        names = [name for name, channel in channels.items() if channel.shown_on == audience]
        where = "to shops" if audience == "shops" else f"on the {audience}"
        if not least <= len(names) <= 1:
            mistakes.add(
                source.place(key_line(source.text, ("channels", names[1], "shown_on")) if names else None),
                wrong=f"{len(names) or 'no'} channels are shown {where}",
                expected=f'{"exactly" if least else "at most"} one channel with shown_on = "{audience}"',
                mend='set shown_on to "private" for the others' if names else "add one",
            )
    _check_named(channels, source, mistakes)


def _check_prices(name: str, channel: Channel, source: Source, mistakes: Mistakes) -> None:
    """Refuse a list of prices that does not rise, or that stands beside price points."""
    line = key_line(source.text, ("channels", name, "prices")) or key_line(source.text, ("channels", name))
    if channel.prices and channel.price_points:
        mistakes.add(
            source.place(line),
            wrong=f"the channel {name!r} has both prices and price_points",
            expected="one of the two",
            mend="keep the list of prices, or the steps, and take the other out",
        )
    if channel.prices and not all(low < high for low, high in pairwise((Decimal(0), *channel.prices))):
        mistakes.add(
            source.place(line),
            wrong=f"the prices of the channel {name!r} do not rise",
            expected="prices above zero, the lowest first, none twice, such as [18, 24, 32, 45]",
            mend="put them in rising order",
        )


def _check_named(channels: Mapping[str, Channel], source: Source, mistakes: Mistakes) -> None:
    """Refuse channels that name none or themselves, and those that look at each other in a ring."""
    sound = True
    for name, channel in channels.items():
        if channel.at_percent is not None and channel.follows is None:
            mistakes.add(
                source.place(key_line(source.text, ("channels", name, "at_percent"))),
                wrong=f"the channel {name!r} says at_percent, but not of which channel",
                expected="at_percent beside follows",
                mend="name the channel with `follows`, or take at_percent out",
            )
        for key, other in _named(channel):
            known = [each for each in channels if each != name]
            if other not in known:
                sound = False
                mistakes.add(
                    source.place(key_line(source.text, ("channels", name, key))),
                    wrong=f"the channel {name!r} says {key} = {quoted(other)}, which is no other channel",
                    expected=f"one of: {listed(known) or 'there is no other'}",
                    mend=suggestion(other, known, f"correct the name, or take {key} out"),
                    marked=other,
                )
    ring = _ring(channels) if sound else ()
    if ring:
        mistakes.add(
            source.place(key_line(source.text, ("channels", ring[0]))),
            wrong=f"the prices of channels wait for each other: {ring[0]!r} looks at "
            + ", which looks at ".join(map(repr, ring[1:])),
            expected="at least one of them that sets its price by markup_percent or margin_percent, without the others",
            mend="take one of follows, times_trade, never_below and never_above out of the ring",
        )


def _named(channel: Channel) -> Iterator[tuple[str, str]]:
    for key in NAMING:
        other = getattr(channel, key)
        if other is not None:
            yield key, other


def _ring(channels: Mapping[str, Channel]) -> tuple[str, ...]:
    """Give channels that look at each other, from one of them round to it again; none where none do."""
    try:
        pricing_order(channels)
    except CycleError as error:
        # The error gives each before those that look at it.
        ring = list(reversed(error.args[1]))[:-1]
        first = ring.index(min(ring))
        return (*ring[first:], *ring[:first], ring[first])
    return ()
