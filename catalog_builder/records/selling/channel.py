"""A channel: a way of selling, with its fees, its tax and its price points."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from itertools import pairwise
from typing import Literal

from pydantic import Field

from catalog_builder.mistake import Mistakes
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.toml import key_line
from catalog_builder.records.reading.values import Amount, Line, Percent, Record


class PricePoint(Record):
    """A step that prices are rounded to."""

    up_to: Amount | None = Field(None, gt=0, description="for prices up to this; left out: for all above")
    step: Amount = Field(gt=0, description="prices are multiples of this ...")
    less: Amount = Field(Decimal(0), description="... less this, such as 0.05 for prices that end in .95")


class Channel(Record):
    """``[channels.NAME]``: a way of selling. One of markup_percent, margin_percent, times_trade sets the price."""

    title: Line = Field(description="what the maker calls it; private")
    shown_on: Literal["catalogue", "stall", "shops", "private"] = Field(
        description="where its prices stand: catalogue, stall, shops (a sheet that only the maker hands out) or "
        "private; one channel each for the first two, at most one for shops"
    )
    terms: Line | None = Field(None, description="what stands under the prices for shops: least order, payment ...")
    least_order: int | None = Field(
        None, ge=1, le=10_000, description="for shops: the least pieces of an order; a smaller one is not confirmed"
    )
    least_first_order: int | None = Field(
        None, ge=1, le=10_000, description="for shops: the least pieces of a first order, in place of least_order"
    )
    lead_days: int | None = Field(None, ge=1, le=1000, description="for shops: days from an order until it is sent")
    markup_percent: Amount | None = Field(None, description="what is left after fees is cost and this share of cost")
    margin_percent: Percent | None = Field(
        None, description="what is left after fees and cost is this share of the price"
    )
    times_trade: Amount | None = Field(
        None,
        gt=0,
        description="what is left after fees is this many times the trade price in force, "
        'that of the channel with shown_on = "shops"',
    )
    fee_percent: Percent = Field(
        Decimal(0), description="of what the buyer pays: card fees, commission, a shop's share"
    )
    fee_each: Amount = Field(Decimal(0), description="a fixed fee for each sale")
    day_fee: Amount = Field(Decimal(0), description="the pitch fee of a day ...")
    sales_a_day: int = Field(1, ge=1, description="... spread over this many sales")
    tax_percent: Amount = Field(Decimal(0), le=100, description="sales tax on the price before tax")
    tax: Literal["included", "added"] = Field("included", description="whether printed prices include the tax")
    rounding: Literal["up", "nearest", "down"] = Field(
        "up", description="up, nearest or down to a price point, but never under the floor price"
    )
    price_points: tuple[PricePoint, ...] = Field((), description="what prices are rounded to, in rising order")

    @property
    def shown_tax(self) -> Literal["included", "added", "none"]:
        """Where the tax stands to a buyer: none where there is none."""
        return self.tax if self.tax_percent else "none"

    @property
    def fixed_fee(self) -> Decimal:
        """The fixed fees that one sale carries."""
        return self.fee_each + self.day_fee / self.sales_a_day


def for_shops(channels: Mapping[str, Channel]) -> str:
    """Give the name of the channel of the trade prices, those for shops; empty where there is none."""
    return next((name for name, channel in channels.items() if channel.shown_on == "shops"), "")


def check_channels(channels: Mapping[str, Channel], source: Source, mistakes: Mistakes) -> None:
    """Refuse channels that contradict themselves or each other."""
    for name, channel in channels.items():
        place = source.place(key_line(source.text, ("channels", name)))
        ways = [channel.markup_percent, channel.margin_percent, channel.times_trade]
        if sum(way is not None for way in ways) != 1:
            mistakes.add(
                place,
                wrong=f"the channel {name!r} does not say in one way how its price is set",
                expected="exactly one of markup_percent, margin_percent, times_trade",
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
