"""For the stall: the price sheet as a page and a PDF, and slips with cautions. It sees listings and nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from catalog_builder.offer import Listing
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.pictures.gallery import ProductDrawings
from catalog_builder.publish.sheets.price_sheet import PriceSheetContent, write_pages, write_parts
from catalog_builder.publish.stall.slips import write_slips
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.records.studio import Collection, StudioKeys

PRICE_PAGE = "price_sheet.html"


@dataclass(frozen=True, slots=True, kw_only=True)
class StallContent:
    """All that the price sheet is made of. ``tax`` is included, added or none; ``drawn`` holds each product's SVG."""

    studio: StudioKeys
    collections: Mapping[str, Collection]
    listings: tuple[Listing, ...]
    drawn: ProductDrawings
    tax: str
    day: date
    theme: Theme


def write_stall(laid: StallContent, folder: Folder) -> int:
    """Write the price sheet as HTML and PDF and the slips as PDF, and give the count of pages in HTML."""
    keys = laid.studio
    prices = {offer.sku: offer.stall_price for listing in laid.listings for offer in listing.offers}
    priced = PriceSheetContent(
        studio=keys,
        collections=laid.collections,
        listings=laid.listings,
        drawn=laid.drawn,
        prices=prices,
        tax=laid.tax,
        title="",
        terms="",
        day=laid.day,
        theme=laid.theme,
    )
    pages = write_pages(priced, PRICE_PAGE, "assets/stall.css", folder)
    for name, data in laid.theme.assets([folder.text(PRICE_PAGE)]):
        if name == "assets/stall.css" or name.startswith("assets/fonts/"):
            folder.write(name, data)
    write_parts(priced, "price_sheet.pdf", folder)
    write_slips(keys, laid.listings, laid.theme, laid.day, folder)
    return len(pages)
