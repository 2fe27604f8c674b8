"""The look book: the catalogue as a PDF to print or to send. Made from listings and pictures only."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from math import inf
from typing import Any

from catalog_builder.offer import Listing
from catalog_builder.publish.catalogue.listing_view import CatalogueContent, ListingViews, newest_first
from catalog_builder.publish.catalogue.sending.one_file import Likeness, TooLargeError, shared_cautions
from catalog_builder.publish.catalogue.sending.sent import SentSelection
from catalog_builder.publish.sheets.printed_text import printed
from catalog_builder.publish.sheets.typeset import PAPERS, typeset
from catalog_builder.publish.theme.loading import marked_up
from catalog_builder.publish.theme.tax_words import catalogue_tax
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.publish.views import ChoiceView, MarketView, PageView, PictureView
from catalog_builder.records.selling.market_date import coming

TEMPLATE = "book/look_book.typ"
# As many pictures of a product as the book shows.
SHOWN = 5
# What variants share that stand in one block.
MEASURES = ("size", "glass_size", "framed_size", "hung_size", "standing_size", "weight", "packed", "postage")


def look_book(sent: SentSelection, likeness: Likeness, room: float = inf) -> bytes:
    """Set the book on the studio's paper: cover, contents, series, a page or more a product, care, contact.

    Raises:
        TooLargeError: the photos in it alone are more than ``room`` bytes.
    """
    content = sent.content
    _weigh(content, likeness, room)
    studio, theme, wording = content.studio, content.theme, Wording.for_buyers(content.studio)
    newest, shared = newest_first(content.listings), shared_cautions(content)
    views = ListingViews(content, newest)
    dated = wording.plain_day(content.day)
    chapters = [
        {
            "title": series.title,
            "summary": series.summary,
            "products": [
                _product(content, views, listing, likeness, shared) for listing in newest if listing.series == slug
            ],
        }
        for slug, series in content.all_series.items()
    ]
    data: dict[str, object] = {
        "title": theme.words("edition", "look_book_title", studio=studio.name, date=dated),
        "dated": theme.words("edition", "dated", date=dated),
        "newest": sent.note,
        "prices_note": f"{catalogue_tax(theme, newest)} {theme.words('edition', 'prices_note', date=dated)}",
        "studio": {
            "name": studio.name,
            "tagline": studio.tagline,
            "made_by": theme.words("footer", "made_at", maker=studio.maker, place=studio.place),
            "email": studio.email,
            "write": theme.words("about", "write", maker=studio.maker),
            "address": studio.address,
        },
        "language": studio.language,
        "paper": PAPERS[studio.paper],
        "labels": {
            name: dict(theme.labels[name])
            for name in ("edition", "product", "standing", "columns", "care", "dates", "about", "own_pages")
        },
        "cover": _product(content, views, newest[0], likeness, shared)["pictures"][0],
        "chapters": [chapter for chapter in chapters if chapter["products"]],
        "cautions": list(shared),
        "care": printed(marked_up(content.texts.get("care", ""))),
        "about": printed(marked_up(content.texts.get("about", ""))),
        "terms": printed(marked_up(content.texts.get("terms", ""))),
        "markets": [_market(MarketView.of(market, wording)) for market in coming(content.markets, content.day)],
    }
    return typeset(theme, TEMPLATE, data, content.day, _files(content, likeness))


def _product(
    content: CatalogueContent, views: ListingViews, listing: Listing, likeness: Likeness, shared: tuple[str, ...]
) -> dict[str, Any]:
    """Give a product in words, with its pictures by the names of their files."""
    address = f"{content.studio.address}products/{listing.slug}.html"
    page = PageView(
        kind="product", title="", description="", root="", language=content.studio.language, address=address
    )
    view = views.product(listing, page)
    photos = iter(content.pictures[listing.slug].shots)
    pictures = [
        _picture(f"{listing.slug}.svg" if picture.drawn else f"{next(photos).name}.jpg", picture)
        for picture in view.pictures
    ]
    return {
        "slug": listing.slug,
        "title": view.title,
        "summary": view.summary,
        "description": printed(view.description),
        "price_range": view.price_range,
        "availability": view.availability,
        "address": address,
        "pictures": pictures[: likeness.most],
        "drawn": next((picture for picture in pictures if picture["drawn"]), pictures[0]),
        "sizes": _sizes(tuple(choice for choice in view.choices if view.sold or not choice.sold)),
        "facts": [{"name": fact.name, "value": fact.value} for fact in view.facts],
        "hanging": list(view.hanging),
        "stands": view.stands,
        "cautions": [line for line in view.cautions if line not in shared],
    }


def _picture(file: str, view: PictureView) -> dict[str, Any]:
    return {
        "file": file,
        "alt": view.alt,
        "drawn": view.drawn,
        "stands": view.stands,
        "colour": view.colour,
        "width": view.width,
        "height": view.height,
    }


def _sizes(choices: tuple[ChoiceView, ...]) -> list[dict[str, Any]]:
    """Give what is alike in size and weight as one block; choices of glass that share a price share a line."""
    blocks: dict[tuple[str, ...], dict[tuple[str, str], list[str]]] = {}
    for choice in choices:
        lines = blocks.setdefault(tuple(getattr(choice, name) for name in MEASURES), {})
        lines.setdefault((choice.finish, choice.price), []).append(choice.glass)
    return [
        {
            **dict(zip(MEASURES, measures, strict=True)),
            "lines": [
                {"finish": finish, "glass": [glass for glass in glasses if glass], "price": price}
                for named in dict.fromkeys(finish for finish, _ in lines)
                for (finish, price), glasses in lines.items()
                if finish == named
            ],
        }
        for measures, lines in blocks.items()
    ]


def _market(view: MarketView) -> dict[str, str]:
    return {"name": view.name, "place": view.place, "date": view.date, "hours": view.hours, "note": view.note}


def _weigh(content: CatalogueContent, likeness: Likeness, room: float) -> None:
    """Stop once the photos that the book is sure to hold are larger than there is room for."""
    for pictures in content.pictures.values():
        held = {name for name, _ in likeness.chosen(pictures)[:SHOWN]}
        for shot in pictures.shots:
            if shot.name in held:
                room -= len(likeness.rendition(shot).jpeg)
                if room < 0:
                    raise TooLargeError


def _files(content: CatalogueContent, likeness: Likeness) -> dict[str, Callable[[], bytes]]:
    files: dict[str, Callable[[], bytes]] = {}
    for slug, pictures in content.pictures.items():
        if pictures.with_drawing:
            files[f"{slug}.svg"] = partial(pictures.read_drawing, "drawn")
        files |= {f"{shot.name}.jpg": partial(likeness.rendition(shot).data, "jpeg") for shot in pictures.shots}
    return files
