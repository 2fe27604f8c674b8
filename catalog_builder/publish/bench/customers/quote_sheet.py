"""A quote as a PDF for the buyer: what is made, its price and terms, and the cautions. It holds no cost."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import date
from decimal import Decimal

from catalog_builder.offer import AskedPrice, Listing, Offer
from catalog_builder.phrase import joined, phrase
from catalog_builder.pricing.bill import Bill
from catalog_builder.publish.bench.customers.bill_lines import bill_lines
from catalog_builder.publish.sheets.typeset import PAPERS, TypesetSheet
from catalog_builder.publish.theme.caution_lines import all_caution_lines
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.side_words import side_words, size_words
from catalog_builder.publish.theme.standing_words import standing_words
from catalog_builder.publish.theme.tax_words import tax_sentence
from catalog_builder.records.selling.channel import Channel
from catalog_builder.records.selling.kept_quote import QuoteKeys
from catalog_builder.records.studio_tables.studio_keys import StudioKeys


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferedItem:
    """An item as the buyer may see it; ``listing`` is that of its one variant, ``drawn`` the piece as SVG."""

    title: str
    note: str
    count: int
    listing: Listing
    offer: Offer
    asked: AskedPrice
    drawn: str


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteSheet:
    """All that a quote is made of. ``day`` is the day of printing: a quote past its last day says so."""

    studio: StudioKeys
    channel: Channel
    keys: QuoteKeys
    items: tuple[OfferedItem, ...]
    bill: Bill
    day: date
    theme: Theme

    @property
    def lapsed(self) -> bool:
        """Whether its last day is past."""
        return self.day > self.keys.until


@dataclass(frozen=True, slots=True, kw_only=True)
class QuotedLine:
    """An item in words; ``facts`` are sentences on it, ``each`` the price of one."""

    title: str
    picture: str
    facts: tuple[str, ...]
    count: str
    each: str
    amount: str


def quote_sheet(sheet: QuoteSheet) -> TypesetSheet:
    """Give the quote to typeset."""
    studio, keys, theme = sheet.studio, sheet.keys, sheet.theme
    phrasing = Phrasing.of(theme, studio)
    wording, labels = phrasing.wording, theme.labels
    data = {
        "labels": {**labels["quote"], "page": labels["stall"]["page"]},
        "language": studio.language,
        "studio": {"name": studio.name, "maker": studio.maker, "place": studio.place, "email": studio.email},
        "paper": PAPERS[studio.paper],
        "buyer": keys.buyer,
        "contact": keys.contact or "",
        "dated": phrasing.say(phrase("quote.dated", day=keys.dated)),
        "until": phrasing.say(phrase("quote.until", day=keys.until)),
        "lapsed": phrasing.say(phrase("quote.lapsed", day=keys.until)) if sheet.lapsed else "",
        "lines": [asdict(line) for line in _lines(sheet, phrasing)],
        "carriage": wording.money(sheet.bill.amounts[-1]) if keys.carriage else "",
        "sums": [asdict(line) for line in bill_lines(sheet.bill, sheet.channel, keys.deposit_percent, phrasing)],
        "tax": tax_sentence(theme, sheet.channel.shown_tax),
        "terms": list(_terms(keys, phrasing)),
        "estimate": labels["product"]["choices_note"],
        "cautions": list(all_caution_lines([item.listing for item in sheet.items], theme)),
    }
    return TypesetSheet(theme=theme, template="bench/quote.typ", data=data, day=sheet.day)


def _lines(sheet: QuoteSheet, phrasing: Phrasing) -> Iterator[QuotedLine]:
    for item, amount in zip(sheet.items, sheet.bill.amounts, strict=False):
        yield QuotedLine(
            title=item.title,
            picture=item.drawn,
            facts=tuple(_facts(item, sheet.theme, phrasing)),
            count=phrasing.wording.number(Decimal(item.count), 0),
            each=phrasing.wording.money(item.asked.printed),
            amount=phrasing.wording.money(amount),
        )


def _facts(item: OfferedItem, theme: Theme, phrasing: Phrasing) -> Iterator[str]:
    """Say what a piece is: size, finish and glass; what it weighs and measures as it hangs; how it hangs."""
    offer, listing, wording = item.offer, item.listing, phrasing.wording
    yield joined((size_words(theme, wording, offer), offer.finish))
    yield phrasing.say(phrase("quote.glass", count=listing.pieces, glass=joined(listing.glass_names)))
    weight = theme.words("product", "weight", weight=wording.mass(offer.mass_g, offer.mass_within_g))
    standing = standing_words(offer, phrasing)
    hung = side_words(theme, wording, offer.hung_width_mm, offer.hung_height_mm)
    yield joined((weight, standing)) if standing else phrasing.say(phrase("quote.weight", weight=weight, hung=hung))
    length = wording.length(listing.hang_mm)
    yield phrasing.say(phrase(f"hardware.hang_by_{listing.hang_by}", length=length, count=listing.rings))
    if item.note:
        yield item.note


def _terms(keys: QuoteKeys, phrasing: Phrasing) -> Iterator[str]:
    if keys.ready_by is not None:
        yield phrasing.say(phrase("quote.ready_by", day=keys.ready_by))
    yield from (words for words in (keys.delivery, keys.terms) if words)
