"""How many of each variant lie ready, beside its price."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from catalog_builder.mistake import Finding, Place
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.records.selling.ready_pieces import ReadyPieces
from catalog_builder.records.variant import Variant


def with_ready_stock(ready: ReadyPieces, variants: Sequence[VariantCalculation]) -> list[VariantCalculation]:
    """Give the variants with how many of each lie ready; those that are not counted stay as they are."""
    return [_counted(variant, ready.counts.get(variant_of(variant))) for variant in variants]


def _counted(variant: VariantCalculation, count: int | None) -> VariantCalculation:
    return variant if count is None else replace(variant, offer=replace(variant.offer, ready=count))


def variant_of(calculation: VariantCalculation) -> Variant:
    """Give the names by which tables call a calculated variant."""
    return Variant(calculation.product.slug, calculation.size, calculation.finish, calculation.choice)


def ready_findings(ready: ReadyPieces, variants: Sequence[VariantCalculation]) -> Iterator[Finding]:
    """Find variants of which more sold than lay ready."""
    for variant in variants:
        more = ready.oversold.get(variant_of(variant))
        if more:
            yield Finding.of(
                "M02", Place(path="content/ready.csv"), "ready.oversold", variant=variant.offer.sku, count=more
            )
