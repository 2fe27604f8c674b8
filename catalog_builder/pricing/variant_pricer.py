"""Prices variants: material and minutes of a made piece in a finish, their cost, and a price in every channel."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from catalog_builder.making.glass_share import GlassShare
from catalog_builder.making.labour import read_times
from catalog_builder.making.parcel import PackedPiece
from catalog_builder.making.quantities import read_measures, read_uses
from catalog_builder.piece.assembly import AssembledPiece
from catalog_builder.pricing.book import Terms, channel_prices
from catalog_builder.pricing.calculation import VariantCalculation, glass_charge, offer_of, parcel_of, sku_of
from catalog_builder.pricing.cost import read_cost
from catalog_builder.pricing.policy import read_earning
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product
from catalog_builder.records.selling.price_book import PriceBook
from catalog_builder.records.studio import Studio
from catalog_builder.units import minor_digits


@dataclass(frozen=True, slots=True)
class VariantPricer:
    """What is the same for every variant: the studio, its materials and price book, and the day."""

    studio: Studio
    materials: Materials
    book: PriceBook
    day: date
    # Whether the studio packs in boxes: a piece that none takes is then handed over by hand.
    has_boxes: bool

    def price(
        self,
        product: Product,
        piece: AssembledPiece,
        finish_name: str,
        packed: PackedPiece | None,
        share: GlassShare | None = None,
    ) -> VariantCalculation:
        """Price a variant. Its glass is charged by boxes, or by a layout's ``share``.

        Raises:
            MistakeError: a material has no price on the day.
        """
        studio, finish, rows = self.studio, self.studio.finishes[finish_name], self.materials.rows
        digits = minor_digits(studio.studio.currency)
        batch = product.keys.batch or studio.bench.batch
        choice = product.keys.glass[piece.choice]
        measures = read_measures(piece.made)
        times = read_times(studio, finish, measures, batch)
        uses = read_uses(studio, rows, product, finish, piece)
        if share is not None:
            uses = share.charge(uses, piece.made, choice)
        cost = read_cost(self.materials, studio.bench, self.day, uses, times)
        held = product.keys.hold_until is not None and product.keys.hold_until >= self.day
        terms = Terms(self.day, digits, held, studio.book.keep_within_percent)
        sku = sku_of(product, piece.size, finish_name, piece.choice)
        standings = channel_prices(self.book, sku, studio.channels, cost.total, terms)
        prices = {name: standing.published for name, standing in standings.items()}
        earnings = {
            name: read_earning(channel, prices[name], cost, studio.bench.hourly_rate, digits)
            for name, channel in studio.channels.items()
        }
        offer = replace(
            offer_of(studio, rows, product, piece, finish_name, prices),
            parcel=parcel_of(studio.parcel, packed) if packed is not None else None,
            by_hand=self.has_boxes and packed is None,
        )
        return VariantCalculation(
            product, piece, finish_name, batch, measures, times, cost, standings, earnings, offer, packed
        )

    def with_layout(self, variant: VariantCalculation, share: GlassShare | None) -> VariantCalculation:
        """Note what a kept layout would charge for a variant's glass; where it is adopted, price the variant by it."""
        if share is None:
            return variant
        glass = glass_charge(variant, share)
        if share.adopted:
            variant = self.price(variant.product, variant.assembled, variant.finish, variant.packed, share)
        return replace(variant, glass=glass)
