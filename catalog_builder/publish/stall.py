"""For the stall: the price sheet as a page and a PDF, and slips with cautions. It sees listings and nothing else."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from markupsafe import Markup

from catalog_builder.offer import Listing, Offer
from catalog_builder.publish.folder import Folder
from catalog_builder.publish.pages import Theme
from catalog_builder.publish.slips import slip_sheets
from catalog_builder.publish.typeset import PAPERS, typeset
from catalog_builder.publish.views import StudioView
from catalog_builder.publish.wording import Wording
from catalog_builder.records.studio import Collection, StudioKeys


@dataclass(frozen=True, slots=True)
class SheetPrice:
    """A price on the sheet; finish and glass are empty where there is no choice."""

    finish_text: str
    glass_text: str
    price: str


@dataclass(frozen=True, slots=True)
class SheetSize:
    """A size on the sheet with its prices."""

    size_text: str
    prices: tuple[SheetPrice, ...]


@dataclass(frozen=True, slots=True)
class SheetRow:
    """A product on the sheet."""

    title: str
    picture_svg: Markup
    sizes: tuple[SheetSize, ...]


@dataclass(frozen=True, slots=True)
class SheetGroup:
    """A collection on the sheet."""

    title: str
    rows: tuple[SheetRow, ...]


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
    groups = _groups(laid)
    wording = Wording.of(laid.studio)
    note = laid.theme.words("stall", {"included": "tax_included", "added": "tax_added"}.get(laid.tax, "no_tax"))
    keys = laid.studio
    html = laid.theme.render(
        "price_sheet.html",
        studio=StudioView.of(keys),
        language=keys.language,
        date_text=wording.plain_day(laid.day),
        style_href="assets/stall.css",
        groups=groups,
        note=note,
    )
    for name, data in laid.theme.assets([html]):
        if name == "assets/stall.css" or name.startswith("assets/fonts/"):
            folder.write(name, data)
    folder.write("price_sheet.html", html)
    folder.write("price_sheet.pdf", _pdf(laid, groups, note, wording.plain_day(laid.day)))
    folder.write("care_slips.pdf", slip_sheets(keys, laid.listings, laid.theme, laid.day))
    return 1


def _groups(laid: Laid) -> tuple[SheetGroup, ...]:
    wording = Wording.of(laid.studio)
    groups = []
    for slug, collection in laid.collections.items():
        listings = sorted((one for one in laid.listings if one.collection == slug), key=lambda one: one.title)
        rows = tuple(
            SheetRow(
                listing.title,
                Markup(laid.drawn[listing.slug]),  # noqa: S704 - drawn by this program
                _sizes(listing.offers, wording),
            )
            for listing in listings
            if listing.availability != "sold"
        )
        if rows:
            groups.append(SheetGroup(collection.title, rows))
    return tuple(groups)


def _sizes(offers: Sequence[Offer], wording: Wording) -> tuple[SheetSize, ...]:
    """Group a product's prices by size; choices that share a price share a line."""
    finishes = len({offer.finish for offer in offers}) > 1
    sizes = []
    for size in dict.fromkeys(offer.size for offer in offers):
        same = [offer for offer in offers if offer.size == size]
        measure = wording.size(*same[0].sides_mm)
        prices: dict[tuple[str, str], list[str]] = {}
        for offer in same:
            key = (offer.finish if finishes else "", wording.money(offer.stall_price))
            prices.setdefault(key, []).append(offer.glass)
        alone = {finish: [price for other, price in prices if other == finish] for finish, _ in prices}
        lines = tuple(
            # Where every glass of a finish costs the same, the glass need not be named.
            SheetPrice(finish, "" if len(alone[finish]) == 1 else ", ".join(glasses), price)
            for (finish, price), glasses in prices.items()
        )
        sizes.append(SheetSize(f"{size}, {measure}" if size else measure, lines))
    return tuple(sizes)


def _pdf(laid: Laid, groups: Sequence[SheetGroup], note: str, date_text: str) -> bytes:
    keys = laid.studio
    data = {
        "studio": {"name": keys.name, "tagline": keys.tagline, "place": keys.place, "email": keys.email},
        "labels": laid.theme.labels["stall"],
        "language": keys.language,
        "date_text": date_text,
        "paper": PAPERS[keys.paper],
        "note": note,
        "groups": [
            {
                "title": group.title,
                "rows": [
                    {
                        "title": row.title,
                        "picture": str(row.picture_svg),
                        "sizes": [
                            {
                                "size": size.size_text,
                                "prices": [
                                    {"finish": one.finish_text, "glass": one.glass_text, "price": one.price}
                                    for one in size.prices
                                ],
                            }
                            for size in row.sizes
                        ],
                    }
                    for row in group.rows
                ],
            }
            for group in groups
        ],
    }
    return typeset(laid.theme, "stall/price_sheet.typ", data, laid.day)
