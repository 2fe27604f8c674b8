"""For the stall: the price sheet as a page and a PDF, and slips with cautions. It sees listings and nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from catalog_builder.offer import Listing
from catalog_builder.publish.folder import Folder
from catalog_builder.publish.pages import Theme
from catalog_builder.publish.price_sheet import Priced, group, price_sheet_pdf
from catalog_builder.publish.slips import slip_sheets
from catalog_builder.publish.views import StudioView
from catalog_builder.publish.wording import Wording
from catalog_builder.records.studio import Collection, StudioKeys


@dataclass(frozen=True, slots=True)
class Laid:
    """All that the price sheet is made of. ``tax`` is included, added or none; ``drawn`` holds each product's SVG."""

    studio: StudioKeys
    collections: Mapping[str, Collection]
    listings: tuple[Listing, ...]
    drawn: Mapping[str, str]
    tax: str
    day: date
    theme: Theme


def write_stall(laid: Laid, folder: Folder) -> int:
    """Write the price sheet as HTML and PDF and the slips as PDF, and give the count of pages in HTML."""
    keys = laid.studio
    prices = {offer.sku: offer.stall_price for listing in laid.listings for offer in listing.offers}
    priced = Priced(
        keys, laid.collections, laid.listings, laid.drawn, prices, laid.tax, "", "", laid.day, laid.theme
    )  # fmt: skip
    groups = group(priced)
    html = laid.theme.render(
        "price_sheet.html",
        studio=StudioView.of(keys),
        language=keys.language,
        date_text=Wording.of(keys).plain_day(laid.day),
        style_href="assets/stall.css",
        groups=groups,
        note=priced.notes,
    )
    for name, data in laid.theme.assets([html]):
        if name == "assets/stall.css" or name.startswith("assets/fonts/"):
            folder.write(name, data)
    folder.write("price_sheet.html", html)
    folder.write("price_sheet.pdf", price_sheet_pdf(priced, groups))
    folder.write("care_slips.pdf", slip_sheets(keys, laid.listings, laid.theme, laid.day))
    return 1
