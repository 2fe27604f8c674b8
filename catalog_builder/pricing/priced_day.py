"""What a variant is asked for on another day: by the book's and the materials' prices of that day."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import groupby

from catalog_builder.offer import Offer
from catalog_builder.pricing.book import Standings, product_prices
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.ready_stock import variant_of
from catalog_builder.pricing.reduced_prices import Reducer
from catalog_builder.pricing.variant_pricer import price_terms
from catalog_builder.records.materials import Materials
from catalog_builder.records.price_records import PriceRecords
from catalog_builder.records.selling.price_book import PriceBook
from catalog_builder.records.studio import Studio


def offers_on(
    records: PriceRecords, calculations: Sequence[VariantCalculation], day: date, products: frozenset[str] | None = None
) -> dict[str, Offer]:
    """Give variants' offers by code as a build of a day to come would, where all but dated prices stays as it is.

    ``calculations`` are all of the studio's, ``products`` the names of those that are asked for, None for all.
    """
    rows = {row.date for row in records.book.rows}
    days = rows.union(price.day for prices in records.materials.prices.values() for price in prices)
    changes = any(records.day < each <= day for each in days)
    offers: dict[str, Offer] = {}
    for slug, variants in groupby(calculations, lambda variant: variant.product.slug):
        if products is None or slug in products:
            offers |= _offers_on(records, list(variants), day, changes)
    return offers


def _offers_on(
    records: PriceRecords, variants: Sequence[VariantCalculation], day: date, changes: bool
) -> dict[str, Offer]:
    if not changes and not records.reductions.of:
        return {each.offer.sku: each.offer for each in variants}
    studio, reducer = records.studio, Reducer(records.studio, records.book, records.reductions)
    all_standings: Standings = {each.offer.sku: each.standings for each in variants}
    if changes:
        costs = {each.offer.sku: _cost_on(records.materials, each, day) for each in variants}
        all_standings = standings_on(studio, records.book, variants, costs, day)
    offers: dict[str, Offer] = {}
    for variant in variants:
        standings = all_standings[variant.offer.sku]
        prices = {name: standing.published for name, standing in standings.items()}
        reduced = reducer.on(variant.offer.sku, variant_of(variant), day)
        offers[variant.offer.sku] = replace(
            variant.offer,
            online=reducer.asked(prices, studio.channel_on("catalogue"), reduced),
            stall=reducer.asked(prices, studio.channel_on("stall"), reduced),
        )
    return offers


def standings_on(
    studio: Studio, book: PriceBook, variants: Sequence[VariantCalculation], costs: Mapping[str, Decimal], day: date
) -> Standings:
    """Give how the prices of a product's variants stand on a day; ``costs`` are those of that day by code."""
    members = [replace(each.member, cost=costs[each.offer.sku]) for each in variants if each.offer.sku in costs]
    terms = replace(price_terms(studio, variants[0].product, day), held=False)
    return product_prices(book, studio.channels, members, terms)


def _cost_on(materials: Materials, variant: VariantCalculation, day: date) -> Decimal:
    in_force = {line.key: materials.price(line.key, day) for line in variant.cost.lines if line.key in materials.rows}
    return variant.cost.at(
        {name: price.price / materials.rows[name].pack_amount for name, price in in_force.items() if price is not None}
    )
