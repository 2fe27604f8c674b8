"""The price sheet for shops: trade prices and terms. It lies among the bench's papers; the maker hands it out."""

from __future__ import annotations

from collections.abc import Sequence

from catalog_builder.offer import Listing
from catalog_builder.pricing.calculation import Reckoning
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.pictures.gallery import Drawn
from catalog_builder.publish.sheets.pagination import Part
from catalog_builder.publish.sheets.price_sheet import Priced, write_parts
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.records.content import Content

TRADE_SHEET = "trade_price_sheet.pdf"


def write_trade_sheet(
    content: Content,
    reckonings: Sequence[Reckoning],
    listings: tuple[Listing, ...],
    drawn: Drawn,
    theme: Theme,
    folder: Folder,
) -> list[Part]:
    """Write ``trade_price_sheet.pdf`` where a channel is for shops, and give its parts, none where none is."""
    studio, name = content.studio, content.studio.channel_for_shops
    if name is None:
        return []
    channel = studio.channels[name]
    priced = Priced(
        studio.studio,
        studio.collections,
        listings,
        drawn,
        {one.offer.sku: one.prices[name].printed for one in reckonings},
        channel.tax if channel.tax_percent else "none",
        theme.labels["stall"]["for_shops"],
        channel.terms or "",
        content.day,
        theme,
    )
    return write_parts(priced, TRADE_SHEET, folder)
