"""Every variant's cost and prices as rows of a table: the price list. Private."""

from __future__ import annotations

from collections.abc import Sequence

from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.costs.parcel_lines import parcel_columns
from catalog_builder.publish.output.workbook import Row
from catalog_builder.records.content import Content
from catalog_builder.units import minor_digits, rounded


def price_rows(content: Content, calculations: Sequence[VariantCalculation]) -> list[Row]:
    """Give a row for each variant: what it is, its cost, its amounts in each channel, its parcel."""
    digits = minor_digits(content.studio.studio.currency)
    return [
        {
            "variant": variant.offer.sku,
            "product": variant.product.keys.title,
            "size": variant.offer.size,
            "finish": variant.offer.finish,
            "glass": variant.offer.glass,
            "mass_g": round(variant.offer.mass_g, 1),
            "minutes": round(float(variant.cost.minutes), 1),
            "cost": rounded(variant.cost.total, digits),
            **_amounts(content, variant, digits),
            **parcel_columns(content, variant),
        }
        for variant in calculations
    ]


def _amounts(content: Content, variant: VariantCalculation, digits: int) -> Row:
    """Give each amount in one channel after the other."""
    channels, earnings = content.studio.channels, variant.earnings
    amounts = {
        "price": {name: variant.prices[name].printed for name in channels},
        "left": {name: rounded(earnings[name].left_after_fees, digits) for name in channels},
        "an_hour": {name: rounded(earnings[name].an_hour, digits) for name in channels},
        "floor": {name: earnings[name].floor for name in channels},
    }
    return {f"{name}_{each}": amount for each, of_channels in amounts.items() for name, amount in of_channels.items()}
