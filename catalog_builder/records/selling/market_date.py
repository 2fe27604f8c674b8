"""A market: a day on which the maker has a stall, with public and private keys."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from pydantic import Field

from catalog_builder.mistake import Mistakes
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.toml import key_line
from catalog_builder.records.reading.values import Amount, Day, Line, Name, Record


class Change(Record):
    """Coins or notes of one worth that are taken along as the float."""

    each: Amount = Field(gt=0, description="what one coin or note is worth")
    count: int = Field(ge=1, le=10_000, description="how many of them are brought")

    @property
    def amount(self) -> Decimal:
        """What they come to."""
        return self.each * self.count


class Market(Record):
    """``[[markets]]``: a day on which the maker has a stall."""

    name: Line = Field(description="the market's name")
    place: Line = Field(description="where it is")
    date: Day = Field(description="its first day")
    until: Day | None = Field(None, description="its last day, where it lasts longer than one")
    hours: Line = Field(description="when it is open")
    note: Line | None = Field(None, description="what a visitor should know")
    code: Name | None = Field(
        None, description="private: a short name for packing lists and sales; without it, its first day is one"
    )
    pitch_fee: Amount | None = Field(
        None, description="private: what the pitch costs in all; without it, the stall channel's day_fee for each day"
    )
    stall_hours: Amount | None = Field(None, description="private: the hours spent on it, travel and setting up too")
    change: tuple[Change, ...] = Field(
        (), max_length=40, description="private: the float, as a list such as [{ each = 5, count = 6 }]"
    )

    @property
    def key(self) -> str:
        """What packing lists and sales call it."""
        return self.code or self.date.isoformat()

    @property
    def days(self) -> int:
        """How many days it lasts."""
        return ((self.until or self.date) - self.date).days + 1


def check_markets(markets: tuple[Market, ...], source: Source, mistakes: Mistakes) -> None:
    """Refuse markets that end before they begin, and those that share a code."""
    first: dict[str, Market] = {}
    for index, market in enumerate(markets):
        if market.until is not None and market.until < market.date:
            mistakes.add(
                source.place(key_line(source.text, ("markets", index, "until"))),
                wrong=f"the market {market.name!r} ends before it begins",
                expected="`until` on or after `date`",
                mend="check the two dates",
            )
        if market.key in first:
            line = key_line(source.text, ("markets", index, "code")) or key_line(source.text, ("markets", index))
            mistakes.add(
                source.place(line),
                wrong=f"the markets {first[market.key].name!r} and {market.name!r} are both called {market.key!r}",
                expected="a `code` of its own for each market, or a first day that no other has",
                mend="give one of them another `code`",
                marked=market.key,
            )
        first.setdefault(market.key, market)


def priced_day(market: Market, day: date) -> date:
    """Give the day whose prices a market has: its first, or today's where it has begun."""
    return max(market.date, day)


def coming(markets: tuple[Market, ...], day: date) -> tuple[Market, ...]:
    """Give the markets that are not over on a day, in order of their dates."""
    not_over = (market for market in markets if (market.until or market.date) >= day)
    return tuple(sorted(not_over, key=lambda market: (market.date, market.name)))
