"""Costs and minutes for tests that are not about how they came about."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from catalog_builder.making.labour import StepTime
from catalog_builder.phrase import Phrase
from catalog_builder.pricing.book import Terms, product_prices
from catalog_builder.pricing.cost import Cost, CostLine
from catalog_builder.pricing.policy import Price
from catalog_builder.pricing.price_group import Member
from catalog_builder.records.selling.channel import Channel
from catalog_builder.records.selling.price_book import NO_PRICES

UNSAID = Phrase("basis.nothing")


def cost_of(total: Decimal, minutes: Decimal = Decimal(0)) -> Cost:
    """A cost of one line."""
    line = CostLine("glass", "All", Decimal(1), "each", total, UNSAID, "", UNSAID, "all")
    return Cost((line,), minutes, Decimal(0))


def cut_time(minutes: Decimal, waiting: Decimal = Decimal(0)) -> StepTime:
    """Minutes of the step ``cut``."""
    return StepTime("cut", "Cut", minutes, waiting, UNSAID)


def unbooked_prices(channels: Mapping[str, Channel], cost: Decimal, digits: int) -> dict[str, Price]:
    """The prices of a cost in every channel where no price was recorded."""
    terms = Terms(date(2031, 5, 4), digits, held=False, band_percent=Decimal(0))
    standings = product_prices(NO_PRICES, channels, [Member("pane", "", "bright", "plain", cost)], terms)
    return {name: standing.published for name, standing in standings["pane"].items()}
