"""What a variant is asked for on another day: by the book's and the materials' prices of that day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal

from catalog_builder.offer import Offer
from catalog_builder.pricing.book import Terms, channel_prices
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.ready_stock import variant_of
from catalog_builder.pricing.reduced_prices import Reducer
from catalog_builder.records.content import Content
from catalog_builder.units import minor_digits


def offers_on(content: Content, variants: Sequence[VariantCalculation], day: date) -> dict[str, Offer]:
    """Give variants' offers by code as a build of a day to come would, where all but dated prices stays as it is."""
    rows = {row.date for row in content.book.rows}
    days = rows.union(price.day for prices in content.materials.prices.values() for price in prices)
    changes = any(content.day < each <= day for each in days) or bool(content.reductions.of)
    reducer = Reducer(content.studio, content.book, content.reductions)
    return {each.offer.sku: _offer_on(content, each, day, reducer) if changes else each.offer for each in variants}


def _offer_on(content: Content, variant: VariantCalculation, day: date, reducer: Reducer) -> Offer:
    studio, materials = content.studio, content.materials
    cost = Decimal(0)
    for line in variant.cost.lines:
        price = materials.price(line.key, day) if line.key in materials.rows else None
        unit_price = price.price / materials.rows[line.key].pack_amount if price is not None else line.unit_price
        cost += line.quantity * unit_price
    terms = Terms(day, minor_digits(studio.studio.currency), False, studio.book.keep_within_percent)
    standings = channel_prices(content.book, variant.offer.sku, studio.channels, cost, terms)
    prices = {name: standing.published for name, standing in standings.items()}
    reduced = reducer.on(variant.offer.sku, variant_of(variant), day)
    return replace(
        variant.offer,
        online=reducer.asked(prices, studio.channel_on("catalogue"), reduced),
        stall=reducer.asked(prices, studio.channel_on("stall"), reduced),
    )
