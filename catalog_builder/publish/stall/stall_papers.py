"""For the stall: the price sheet as a page and a PDF, and slips with cautions. Made from listings only."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from catalog_builder.offer import Listing
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.price_sheet import PriceSheetContent, write_pages, write_parts
from catalog_builder.publish.stall.slips import write_slips
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.records.studio import Series
from catalog_builder.records.studio_tables.studio_keys import StudioKeys

PRICE_PAGE = "price_sheet.html"


@dataclass(frozen=True, slots=True, kw_only=True)
class StallContent:
    """All that the price sheet is made of; ``drawn`` holds each product's SVG."""

    studio: StudioKeys
    all_series: Mapping[str, Series]
    listings: tuple[Listing, ...]
    drawn: Mapping[str, str]
    day: date
    theme: Theme


def write_stall(content: StallContent, folder: Folder) -> int:
    """Write the price sheet as HTML and PDF and the slips as PDF, and give the count of pages in HTML."""
    keys = content.studio
    prices = {offer.sku: offer.stall for listing in content.listings for offer in listing.offers}
    sheet = PriceSheetContent(
        studio=keys,
        all_series=content.all_series,
        listings=content.listings,
        drawn=content.drawn,
        prices=prices,
        title="",
        terms="",
        day=content.day,
        theme=content.theme,
    )
    pages = write_pages(sheet, PRICE_PAGE, "assets/stall.css", folder)
    for name, data in content.theme.assets([folder.text(PRICE_PAGE)]):
        if name.startswith(("assets/stall.css", "assets/icon.svg", "assets/fonts/")):
            folder.write(name, data)
    write_parts(sheet, "price_sheet.pdf", folder)
    write_slips(keys, content.listings, content.theme, content.day, folder)
    return len(pages)
