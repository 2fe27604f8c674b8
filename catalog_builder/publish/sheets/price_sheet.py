"""A price sheet: products by collection, small drawings, sizes, finishes and one price each. It sees listings alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from functools import partial
from itertools import groupby

from markupsafe import Markup

from catalog_builder.cache.store import key_of
from catalog_builder.offer import Listing, Offer
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.pictures.gallery import ProductDrawings
from catalog_builder.publish.sheets.pagination import WHOLE, SheetPart, in_parts
from catalog_builder.publish.sheets.typeset import PAPERS, typeset
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.publish.views import LinkView, StudioView
from catalog_builder.records.studio import Collection, StudioKeys


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPrice:
    """A price on the sheet; finish and glass are empty where there is no choice."""

    finish_text: str
    glass_text: str
    price: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSize:
    """A size on the sheet with its prices."""

    size_text: str
    prices: tuple[SheetPrice, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """A product on the sheet."""

    title: str
    picture_svg: Markup
    sizes: tuple[SheetSize, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetGroup:
    """A collection on the sheet."""

    title: str
    rows: tuple[SheetRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceSheetContent:
    """What a sheet is made of: ``drawn`` holds each product's SVG by its name, ``prices`` each variant's by its code.

    ``tax`` is included, added or none; ``title`` and ``terms`` may be empty. ``part`` says which part this is.
    """

    studio: StudioKeys
    collections: Mapping[str, Collection]
    listings: tuple[Listing, ...]
    drawn: ProductDrawings
    prices: Mapping[str, Decimal]
    tax: str
    title: str
    terms: str
    day: date
    theme: Theme
    part: SheetPart = WHOLE

    @property
    def notes(self) -> str:
        """What stands under the prices: the tax, and the terms where there are any."""
        key = {"included": "tax_included", "added": "tax_added"}.get(self.tax, "no_tax")
        return " ".join(word for word in (self.theme.words("stall", key), self.terms) if word)


def parts_of(priced: PriceSheetContent) -> list[PriceSheetContent]:
    """Cut a sheet into its parts, each with the products of its own in their order."""
    return [replace(priced, listings=tuple(ones), part=part) for part, ones in in_parts(_in_order(priced))]


def write_parts(priced: PriceSheetContent, file: str, folder: Folder) -> list[SheetPart]:
    """Write each part of a sheet as a PDF, the first under the name ``file``, and give the parts."""
    parts = parts_of(priced)
    for one in parts:
        folder.make(one.part.name(file), key_of("price sheet", _key(one)), partial(_pdf, one))
    return [one.part for one in parts]


def write_pages(priced: PriceSheetContent, file: str, style_href: str, folder: Folder) -> list[SheetPart]:
    """Write each part of a sheet as a page, the first under the name ``file``, and give the parts."""
    parts = parts_of(priced)
    begins = [_begins(one) for one in parts] if len(parts) > 1 else []
    for one in parts:
        links = one.part.links(one.theme, file, begins)
        folder.make(one.part.name(file), key_of("price page", _key(one), links), partial(_page, one, links, style_href))
    return [one.part for one in parts]


def _page(priced: PriceSheetContent, links: tuple[LinkView, ...], style_href: str) -> str:
    return priced.theme.render(
        "price_sheet.html",
        studio=StudioView.of(priced.studio),
        language=priced.studio.language,
        date_text=Wording.of(priced.studio).plain_day(priced.day),
        style_href=style_href,
        groups=group(priced),
        note=priced.notes,
        part=priced.part.words(priced.theme),
        parts=links,
    )


def _pdf(priced: PriceSheetContent) -> bytes:
    return price_sheet_pdf(priced, group(priced))


def _begins(priced: PriceSheetContent) -> str:
    first = priced.listings[0]
    return f"{priced.collections[first.collection].title}, {first.title}"


def _key(priced: PriceSheetContent) -> str:
    """Give the key of all that a sheet shows."""
    rows = [
        (
            priced.collections[one.collection].title, one.slug, one.title, priced.drawn.key(one.slug),
            [(each.size, each.sides_mm, each.finish, each.glass, priced.prices[each.sku]) for each in one.offers],
        )
        for one in priced.listings
    ]  # fmt: skip
    return key_of(priced.theme.key, priced.studio, priced.title, priced.notes, priced.day, priced.part, rows)


def _in_order(priced: PriceSheetContent) -> list[Listing]:
    """Give the products by collection and title; what is sold is left out."""
    places = {slug: place for place, slug in enumerate(priced.collections)}
    return sorted(
        (one for one in priced.listings if one.availability != "sold" and one.collection in places),
        key=lambda one: (places[one.collection], one.title),
    )


def group(priced: PriceSheetContent) -> tuple[SheetGroup, ...]:
    """Put products under their collections, by title; what is sold is left out."""
    wording = Wording.of(priced.studio)
    groups = []
    for slug, listings in groupby(_in_order(priced), lambda one: one.collection):
        rows = tuple(
            SheetRow(
                title=listing.title,
                picture_svg=Markup(priced.drawn[listing.slug]),  # noqa: S704 - drawn by this program
                sizes=_sizes(listing.offers, priced.prices, wording),
            )
            for listing in listings
        )
        groups.append(SheetGroup(title=priced.collections[slug].title, rows=rows))
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
            SheetPrice(
                finish_text=finish, glass_text="" if len(alone[finish]) == 1 else ", ".join(glasses), price=price
            )
            for (finish, price), glasses in prices.items()
        )
        sizes.append(SheetSize(size_text=size_words(same[0], wording), prices=lines))
    return tuple(sizes)


def price_sheet_pdf(priced: PriceSheetContent, groups: Sequence[SheetGroup]) -> bytes:
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
        "part": priced.part.words(priced.theme),
        "groups": [{"title": one.title, "rows": [_row(row) for row in one.rows]} for one in groups],
    }
    return typeset(priced.theme, "stall/price_sheet.typ", data, priced.day, several=priced.part.count > 1)


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
