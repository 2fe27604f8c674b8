"""The price sheet for shops: trade prices and terms. It lies among the bench's papers; the maker hands it out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from catalog_builder.pricing.calculation import VariantCalculation, asked_price
from catalog_builder.pricing.set_calculation import SetCalculation
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.pagination import SheetPart
from catalog_builder.publish.sheets.price_sheet import PriceSheetContent, write_parts
from catalog_builder.records.selling.channel import for_shops
from catalog_builder.records.studio import Studio

TRADE_SHEET = "trade_price_sheet.pdf"


def write_trade_sheet(
    studio: Studio,
    calculations: Sequence[VariantCalculation],
    priced: PriceSheetContent,
    folder: Folder,
    sets: Sequence[SetCalculation] = (),
) -> list[SheetPart]:
    """Write ``trade_price_sheet.pdf`` where a channel is for shops, and give its parts, none where none is.

    It is the price sheet ``priced`` with the prices and terms for shops.
    """
    name = for_shops(studio.channels)
    if not name:
        return []
    sheet = replace(
        priced,
        prices={
            **{variant.offer.sku: asked_price(studio, variant.prices, name) for variant in calculations},
            **{each.product_set.slug: asked_price(studio, each.printed, name) for each in sets},
        },
        title=priced.theme.labels["stall"]["for_shops"],
        terms=studio.channels[name].terms or "",
    )
    return write_parts(sheet, TRADE_SHEET, folder)
