"""A channel: a way of selling, with its fees, its tax and its price points."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Literal

from pydantic import Field, PrivateAttr

from catalog_builder.records.reading.values import Amount, Line, Name, Percent, Record


class PricePoint(Record):
    """A step that prices are rounded to."""

    up_to: Amount | None = Field(None, gt=0, description="for prices up to this; left out: for all above")
    step: Amount = Field(gt=0, description="prices are multiples of this ...")
    less: Amount = Field(Decimal(0), description="... less this, such as 0.05 for prices that end in .95")


# What a buyer chooses besides the size, and what a group's price may follow from.
Choice = Literal["glass", "finish"]
GroupPrice = Literal["dearest", "usual"]


class Channel(Record):
    """``[channels.NAME]``: a way of selling. One of markup_percent, margin_percent, times_trade, follows sets it."""

    title: Line = Field(description="what the maker calls it; private")
    shown_on: Literal["catalogue", "stall", "shops", "stockists", "private"] = Field(
        description="where its prices stand: catalogue, stall, shops (a sheet that only the maker hands out), "
        "stockists (what shops that hold pieces of yours ask for them) or private; one channel each for the first "
        "two, at most one for shops"
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
    follows: Name | None = Field(
        None, description="a channel: the price in force there is taken, or at_percent of it, before tax"
    )
    at_percent: Amount | None = Field(
        None, gt=0, le=10_000, description="with follows: 100 (so by default) is the same price, 50 half, 200 twice it"
    )
    never_below: Name | None = Field(None, description="a channel whose price in force this one is held up to")
    never_above: Name | None = Field(None, description="a channel whose price in force this one is held down to")
    same_price_for: tuple[Choice, ...] = Field(
        (), description='what does not change the price: ["glass"], ["finish"] or both; sizes always may'
    )
    group_price: GroupPrice = Field(
        "dearest",
        description="what variants of one price ask for: what the dearest needs, or `usual`, the average weighed by "
        "what is planned, made and sold, but no floor price less",
    )
    shop_needs_percent: Percent | None = Field(
        None, description="the share of the catalogue's price, before tax, that a shop must be left: told if it is less"
    )
    fee_percent: Percent = Field(
        Decimal(0), description="of what the buyer pays: card fees, commission, a shop's share"
    )
    fee_each: Amount = Field(Decimal(0), description="a fixed fee for each sale")
    day_fee: Amount = Field(Decimal(0), description="the pitch fee of a day ...")
    day_hours: Amount = Field(
        Decimal(0), le=48, description="... the hours of selling, travel and setting up, paid as hourly_rate says ..."
    )
    sales_a_day: int = Field(1, ge=1, description="... both spread over this many sales")
    tax_percent: Amount = Field(Decimal(0), le=100, description="sales tax on the price before tax")
    tax: Literal["included", "added"] = Field("included", description="whether printed prices include the tax")
    rounding: Literal["up", "nearest", "down"] = Field(
        "up", description="up, nearest or down to a price point, but never under the floor price"
    )
    price_points: tuple[PricePoint, ...] = Field((), description="what prices are rounded to, in rising order")
    prices: tuple[Amount, ...] = Field(
        (),
        max_length=100,
        description="in place of price_points: the only prices there are, such as [18, 24, 32, 45]; above the last "
        "they go on in steps as large as the last one",
    )
    # What an hour of day_hours is paid: the studio fills it in.
    _hourly_rate: Decimal = PrivateAttr(Decimal(0))

    @property
    def shown_tax(self) -> Literal["included", "added", "none"]:
        """Where the tax stands to a buyer: none where there is none."""
        return self.tax if self.tax_percent else "none"

    @property
    def fixed_fee(self) -> Decimal:
        """The fixed fees that one sale carries."""
        return self.fee_each + (self.day_fee + self.day_hours * self._hourly_rate) / self.sales_a_day

    @property
    def points(self) -> tuple[PricePoint, ...]:
        """What prices are rounded to; a list of prices as bands of one price each."""
        if not self.prices:
            return self.price_points
        last = self.prices[-1]
        step = last - self.prices[-2] if len(self.prices) > 1 else last
        listed = (PricePoint(up_to=price, step=price, less=Decimal(0)) for price in self.prices)
        return (*listed, PricePoint(up_to=None, step=step, less=(step - last % step) % step))

    def leader(self, channels: Mapping[str, Channel]) -> str:
        """Give the name of the channel whose price this one's follows; empty where it sets its own."""
        return self.follows or (for_shops(channels) if self.times_trade is not None else "")

    def at_rate(self, hourly_rate: Decimal) -> Channel:
        """Give the channel with the hours of a day paid at a rate."""
        channel = self.model_copy()
        channel._hourly_rate = hourly_rate
        return channel


def for_shops(channels: Mapping[str, Channel]) -> str:
    """Give the name of the channel of the trade prices, those for shops; empty where there is none."""
    return next((name for name, channel in channels.items() if channel.shown_on == "shops"), "")
