"""A price sheet: products by collection, small drawings, sizes, finishes and one price each. It sees listings alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from markupsafe import Markup

from catalog_builder.offer import Listing, Offer
from catalog_builder.publish.pages import Theme
from catalog_builder.publish.typeset import PAPERS, typeset
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
class Priced:
    """What a sheet is made of: ``drawn`` holds each product's SVG by its name, ``prices`` each variant's by its code.

    ``tax`` is included, added or none; ``title`` and ``terms`` may be empty.
    """

    studio: StudioKeys
    collections: Mapping[str, Collection]
    listings: tuple[Listing, ...]
    drawn: Mapping[str, str]
    prices: Mapping[str, Decimal]
    tax: str
    title: str
    terms: str
    day: date
    theme: Theme

    @property
    def notes(self) -> str:
        """What stands under the prices: the tax, and the terms where there are any."""
        key = {"included": "tax_included", "added": "tax_added"}.get(self.tax, "no_tax")
        return " ".join(word for word in (self.theme.words("stall", key), self.terms) if word)


def group(priced: Priced) -> tuple[SheetGroup, ...]:
    """Put products under their collections, by title; what is sold is left out."""
    wording = Wording.of(priced.studio)
    groups = []
    for slug, collection in priced.collections.items():
        listings = sorted((one for one in priced.listings if one.collection == slug), key=lambda one: one.title)
        rows = tuple(
            SheetRow(
                listing.title,
                Markup(priced.drawn[listing.slug]),  # noqa: S704 - drawn by this program
                _sizes(listing.offers, priced.prices, wording),
            )
            for listing in listings
            if listing.availability != "sold"
        )
        if rows:
            groups.append(SheetGroup(collection.title, rows))
    return tuple(groups)


def size_words(offer: Offer, wording: Wording) -> str:
    """Name a size with its measures."""
    measure = wording.size(*offer.sides_mm)
    return f"{offer.size}, {measure}" if offer.size else measure


def _sizes(offers: Sequence[Offer], amounts: Mapping[str, Decimal], wording: Wording) -> tuple[SheetSize, ...]:
    """Group a product's prices by size; choices that share a price share a line."""
    finishes = len({offer.finish for offer in offers}) > 1
    sizes = []
    for size in dict.fromkeys(offer.size for offer in offers):
        same = [offer for offer in offers if offer.size == size]
        prices: dict[tuple[str, str], list[str]] = {}
        for offer in same:
            key = (offer.finish if finishes else "", wording.money(amounts[offer.sku]))
            prices.setdefault(key, []).append(offer.glass)
        alone = {finish: [price for other, price in prices if other == finish] for finish, _ in prices}
        lines = tuple(
            # Where every glass of a finish costs the same, the glass need not be named.
            SheetPrice(finish, "" if len(alone[finish]) == 1 else ", ".join(glasses), price)
            for (finish, price), glasses in prices.items()
        )
        sizes.append(SheetSize(size_words(same[0], wording), lines))
    return tuple(sizes)


def price_sheet_pdf(priced: Priced, groups: Sequence[SheetGroup]) -> bytes:
    """Set the sheet as a PDF."""
    keys = priced.studio
    data = {
        "studio": {"name": keys.name, "tagline": keys.tagline, "place": keys.place, "email": keys.email},
        "labels": priced.theme.labels["stall"],
        "language": keys.language,
        "title": priced.title,
        "date_text": Wording.of(keys).plain_day(priced.day),
        "paper": PAPERS[keys.paper],
        "note": priced.notes,
        "groups": [{"title": one.title, "rows": [_row(row) for row in one.rows]} for one in groups],
    }
    return typeset(priced.theme, "stall/price_sheet.typ", data, priced.day)


def _row(row: SheetRow) -> dict[str, object]:
    return {
        "title": row.title,
        "picture": str(row.picture_svg),
        "sizes": [
            {
                "size": size.size_text,
                "prices": [
                    {"finish": one.finish_text, "glass": one.glass_text, "price": one.price} for one in size.prices
                ],
            }
            for size in row.sizes
        ],
    }
