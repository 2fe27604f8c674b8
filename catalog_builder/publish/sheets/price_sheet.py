"""A price sheet: products by series, small drawings, sizes, finishes and one price each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, replace
from datetime import date
from itertools import groupby

from markupsafe import Markup

from catalog_builder.offer import AskedPrice, Listing
from catalog_builder.phrase import joined
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.pagination import WHOLE, SheetPart, in_parts
from catalog_builder.publish.sheets.typeset import PAPERS, TypesetSheet
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.reduction_words import reduction_words
from catalog_builder.publish.theme.set_words import contents_words
from catalog_builder.publish.theme.side_words import short_size_words
from catalog_builder.publish.theme.tax_words import price_words, tax_sentence
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.publish.views import StudioView
from catalog_builder.records.studio import Series
from catalog_builder.records.studio_tables.studio_keys import StudioKeys


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPrice:
    """A price on the sheet; ``words`` are finish and glass, as far as they change it, and may be empty.

    ``reduction`` says why it is reduced and what it was before; it is empty where it is not.
    """

    words: str
    price: str
    reduction: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSize:
    """A size on the sheet with its prices."""

    size: str
    prices: tuple[SheetPrice, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """A product on the sheet."""

    title: str
    picture: Markup
    sizes: tuple[SheetSize, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetGroup:
    """A series on the sheet."""

    title: str
    rows: tuple[SheetRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceSheetContent:
    """What a sheet is made of: ``drawn`` holds each product's SVG by its name, ``prices`` each variant's by its code.

    ``title`` and ``terms`` may be empty. ``part`` says which part this is.
    """

    studio: StudioKeys
    all_series: Mapping[str, Series]
    listings: tuple[Listing, ...]
    drawn: Mapping[str, str]
    prices: Mapping[str, AskedPrice]
    title: str
    terms: str
    day: date
    theme: Theme
    part: SheetPart = WHOLE

    @property
    def notes(self) -> str:
        """What stands under the prices: the tax, and the terms where there are any."""
        tax = tax_sentence(self.theme, next(iter(self.prices.values())).tax)
        return " ".join(words for words in (tax, self.terms) if words)


def parts_of(content: PriceSheetContent) -> list[PriceSheetContent]:
    """Cut a sheet into its parts, each with the products of its own in their order."""
    return [replace(content, listings=tuple(listings), part=part) for part, listings in in_parts(_in_order(content))]


def write_parts(content: PriceSheetContent, file: str, folder: Folder) -> list[SheetPart]:
    """Write each part of a sheet as a PDF, the first under the name ``file``, and give the parts."""
    contents = parts_of(content)
    for each in contents:
        price_sheet(each).write(folder, each.part.name(file))
    return [each.part for each in contents]


def write_pages(content: PriceSheetContent, file: str, style_href: str, folder: Folder) -> list[SheetPart]:
    """Write each part of a sheet as a page, the first under the name ``file``, and give the parts."""
    contents = parts_of(content)
    begins = [_begins(each) for each in contents] if len(contents) > 1 else []
    for each in contents:
        each.theme.write_page(
            folder,
            each.part.name(file),
            "price_sheet.html",
            studio=StudioView.of(each.studio),
            language=each.studio.language,
            date_text=Wording.of(each.studio).plain_day(each.day),
            style_href=style_href,
            groups=group(each),
            note=each.notes,
            part=each.part.words(each.theme),
            parts=each.part.links(each.theme, file, begins),
        )
    return [each.part for each in contents]


def _begins(content: PriceSheetContent) -> str:
    first = content.listings[0]
    return f"{content.all_series[first.series].title}, {first.title}"


def _in_order(content: PriceSheetContent) -> list[Listing]:
    """Give the products by series and title; what is sold is left out."""
    places = {slug: place for place, slug in enumerate(content.all_series)}
    return sorted(
        (listing for listing in content.listings if not listing.sold and listing.series in places),
        key=lambda listing: (places[listing.series], listing.title),
    )


def group(content: PriceSheetContent) -> tuple[SheetGroup, ...]:
    """Put products under their series, by title; what is sold is left out."""
    groups = []
    for slug, listings in groupby(_in_order(content), lambda listing: listing.series):
        rows = tuple(
            SheetRow(
                title=listing.title,
                picture=Markup(content.drawn[listing.slug]),  # noqa: S704 - drawn by this program
                sizes=_sizes(listing, content),
            )
            for listing in listings
        )
        groups.append(SheetGroup(title=content.all_series[slug].title, rows=rows))
    return tuple(groups)


def _sizes(listing: Listing, content: PriceSheetContent) -> tuple[SheetSize, ...]:
    """Group a product's prices by size."""
    offers, phrasing = listing.for_sale, Phrasing.for_buyers(content.theme, content.studio)
    wording = phrasing.wording
    sizes = []
    for size in dict.fromkeys(offer.size for offer in offers):
        same = [offer for offer in offers if offer.size == size]
        asked = {(offer.finish, offer.glass): content.prices[offer.sku] for offer in same}
        priced = {
            choice: (price_words(content.theme, wording, each), reduction_words(phrasing, each))
            for choice, each in asked.items()
        }
        words = contents_words(listing) or short_size_words(wording, same[0])
        sizes.append(SheetSize(size=words, prices=tuple(size_lines(priced))))
    return tuple(sizes)


def size_lines(priced: Mapping[tuple[str, str], tuple[str, str]]) -> Iterator[SheetPrice]:
    """Give the lines of a size from its prices and reductions by finish and glass, naming only what changes a price."""
    finishes, glasses = ({choice[which]: set[tuple[str, str]]() for choice in priced} for which in (0, 1))
    for (finish, glass), words in priced.items():
        finishes[finish].add(words)
        glasses[glass].add(words)
    if len(set(priced.values())) == 1:
        price, reduction = next(iter(priced.values()))
        yield SheetPrice(words="", price=price, reduction=reduction)
        return
    by_glass = all(len(prices) == 1 for prices in glasses.values())
    lines: dict[tuple[str, str, str], list[str]] = {}
    for (finish, glass), words in priced.items():
        shared = "" if by_glass or len(finishes) == 1 else finish
        names = lines.setdefault((shared, *words), [])
        if glass not in names:
            names.append(glass)
    for (finish, price, reduction), names in lines.items():
        # Where every glass of a finish costs the same, the glass need not be named.
        named = not finish or len(finishes[finish]) > 1
        yield SheetPrice(words=joined([finish, *(names if named else [])]), price=price, reduction=reduction)


def price_sheet(content: PriceSheetContent) -> TypesetSheet:
    """Give the sheet to typeset."""
    keys = content.studio
    data = {
        "studio": {"name": keys.name, "tagline": keys.tagline, "place": keys.place, "email": keys.email},
        "labels": content.theme.labels["stall"],
        "language": keys.language,
        "title": content.title,
        "date_text": Wording.of(keys).plain_day(content.day),
        "paper": PAPERS[keys.paper],
        "note": content.notes,
        "part": content.part.words(content.theme),
        "groups": [asdict(each) for each in group(content)],
    }
    return TypesetSheet(
        theme=content.theme,
        template="stall/price_sheet.typ",
        data=data,
        day=content.day,
        several=content.part.count > 1,
    )
