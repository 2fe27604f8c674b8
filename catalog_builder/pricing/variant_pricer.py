"""Prices variants: material and minutes of made pieces in a finish, their cost, and prices in every channel."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import groupby

from catalog_builder.making.glass_share import GlassShare
from catalog_builder.making.labour import StepTime, read_times
from catalog_builder.making.parcel import PackedPiece
from catalog_builder.making.quantities import Measures, read_measures, read_uses
from catalog_builder.piece.assembly import AssembledPiece
from catalog_builder.pricing.book import ChannelPrice, Terms, product_prices
from catalog_builder.pricing.calculation import VariantCalculation, glass_charge, offer_of, parcel_of
from catalog_builder.pricing.cost import Cost, read_cost
from catalog_builder.pricing.policy import read_earning
from catalog_builder.pricing.price_group import Member
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product
from catalog_builder.records.selling.price_book import PriceBook
from catalog_builder.records.studio import Studio
from catalog_builder.records.variant import Variant
from catalog_builder.units import minor_digits


@dataclass(frozen=True, slots=True)
class CostedVariant:
    """A variant as far as it is known before it has a price."""

    product: Product
    assembled: AssembledPiece
    finish: str
    batch: int
    measures: Measures
    times: tuple[StepTime, ...]
    cost: Cost
    packed: PackedPiece | None
    count: int

    @property
    def member(self) -> Member:
        """The variant as its price sees it."""
        piece = self.assembled
        sku = self.product.code(piece.size, self.finish, piece.choice)
        return Member(sku, piece.size, self.finish, piece.choice, self.cost.total, self.count)


@dataclass(frozen=True, slots=True)
class VariantPricer:
    """What is the same for every variant: the studio, its materials and price book, and the day.

    ``counts`` says how many of a variant are planned, were made and sold.
    """

    studio: Studio
    materials: Materials
    book: PriceBook
    day: date
    # Whether the studio packs in boxes: a piece that none takes is then handed over by hand.
    has_boxes: bool
    counts: Mapping[Variant, int]

    def cost(
        self,
        product: Product,
        piece: AssembledPiece,
        finish_name: str,
        packed: PackedPiece | None,
        share: GlassShare | None = None,
    ) -> CostedVariant:
        """Cost a variant. Its glass is charged by boxes, or by a layout's ``share``.

        Raises:
            MistakeError: a material has no price on the day.
        """
        studio, finish, rows = self.studio, self.studio.finishes[finish_name], self.materials.rows
        batch = product.keys.batch or studio.bench.batch
        choice = product.keys.glass[piece.choice]
        measures = read_measures(piece.made)
        times = read_times(studio, finish, measures, batch)
        uses = read_uses(studio, rows, product, finish, piece)
        if share is not None:
            uses = share.charge(uses, piece.made, choice)
        cost = read_cost(self.materials, studio.bench, self.day, uses, times)
        count = self.counts.get(Variant(product.slug, piece.size, finish_name, piece.choice), 0)
        return CostedVariant(product, piece, finish_name, batch, measures, times, cost, packed, count)

    def price(self, product: Product, variants: Sequence[CostedVariant]) -> list[VariantCalculation]:
        """Price all variants of a product."""
        terms = price_terms(self.studio, product, self.day)
        standings = product_prices(self.book, self.studio.channels, [each.member for each in variants], terms)
        return [self._priced(variant, standings[variant.member.sku]) for variant in variants]

    def _priced(self, variant: CostedVariant, standings: Mapping[str, ChannelPrice]) -> VariantCalculation:
        studio, product, packed = self.studio, variant.product, variant.packed
        digits = minor_digits(studio.studio.currency)
        prices = {name: standing.published for name, standing in standings.items()}
        earnings = {
            name: read_earning(channel, prices[name], variant.cost, studio.bench.hourly_rate, digits)
            for name, channel in studio.channels.items()
        }
        offer = replace(
            offer_of(studio, self.materials.rows, product, variant.assembled, variant.finish, prices),
            parcel=parcel_of(studio.parcel, packed) if packed is not None else None,
            by_hand=self.has_boxes and packed is None,
        )
        return VariantCalculation(
            product,
            variant.assembled,
            variant.finish,
            variant.batch,
            variant.measures,
            variant.times,
            variant.cost,
            standings,
            earnings,
            offer,
            packed,
            variant.count,
        )

    def with_layouts(
        self, variants: Sequence[VariantCalculation], shares: Mapping[str, GlassShare]
    ) -> list[VariantCalculation]:
        """Note what kept layouts would charge for the glass of variants, and price by those that are adopted."""
        charged: list[VariantCalculation] = []
        for _, same in groupby(variants, lambda variant: variant.product.slug):
            charged += self._with_layouts(list(same), shares)
        return charged

    def _with_layouts(
        self, variants: Sequence[VariantCalculation], shares: Mapping[str, GlassShare]
    ) -> Sequence[VariantCalculation]:
        """Do so for a product: variants may share a price, so all are priced again where the cost of any changes."""
        laid = {each.offer.sku: shares[each.offer.sku] for each in variants if each.offer.sku in shares}
        charges = {
            each.offer.sku: glass_charge(each, laid[each.offer.sku]) for each in variants if each.offer.sku in laid
        }
        adopted = {sku: share for sku, share in laid.items() if share.adopted}
        if adopted:
            product = variants[0].product
            costed = [
                self.cost(product, each.assembled, each.finish, each.packed, adopted.get(each.offer.sku))
                for each in variants
            ]
            variants = self.price(product, costed)
        return [replace(each, glass=charges.get(each.offer.sku)) for each in variants]


def price_terms(studio: Studio, product: Product, day: date) -> Terms:
    """Give the terms on which a product's prices are set on a day."""
    keys = product.keys
    return Terms(
        day,
        minor_digits(studio.studio.currency),
        keys.hold_until is not None and keys.hold_until >= day,
        studio.book.keep_within_percent,
        keys.same_price_for,
        keys.group_price,
    )
