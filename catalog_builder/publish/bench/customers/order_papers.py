"""A shop's order as it is answered: a confirmation with prices, and a packing list without. They hold no cost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date, timedelta
from decimal import Decimal

from catalog_builder.offer import AskedPrice, Listing, Offer
from catalog_builder.phrase import joined, phrase
from catalog_builder.pricing.bill import Bill
from catalog_builder.publish.bench.customers.bill_lines import bill_lines
from catalog_builder.publish.sheets.typeset import PAPERS, TypesetSheet
from catalog_builder.publish.theme.caution_lines import all_caution_lines
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.side_words import size_words
from catalog_builder.publish.theme.tax_words import tax_sentence
from catalog_builder.records.selling.channel import Channel
from catalog_builder.records.selling.shop_order import OrderKeys
from catalog_builder.records.studio_tables.studio_keys import StudioKeys


@dataclass(frozen=True, slots=True, kw_only=True)
class ConfirmedItem:
    """A variant as the shop may see it, how many it gets, its trade price and the retail price it is advised to ask."""

    listing: Listing
    offer: Offer
    count: int
    trade: AskedPrice
    retail: AskedPrice


@dataclass(frozen=True, slots=True, kw_only=True)
class ConfirmedOrder:
    """All that the two papers are made of."""

    studio: StudioKeys
    channel: Channel
    keys: OrderKeys
    items: tuple[ConfirmedItem, ...]
    bill: Bill
    day: date
    theme: Theme

    @property
    def ready_by(self) -> date | None:
        """The day it is sent, if anything says so."""
        if self.keys.ready_by is not None or self.channel.lead_days is None:
            return self.keys.ready_by
        return self.keys.dated + timedelta(days=self.channel.lead_days)

    @property
    def pieces(self) -> int:
        """How many pieces are ordered in all."""
        return sum(item.count for item in self.items)

    @property
    def mass_g(self) -> tuple[float, float]:
        """What they weigh together without wrapping, and to within how much that is known."""
        offers = [(item.count, item.offer) for item in self.items]
        mass = sum(count * offer.mass_g for count, offer in offers)
        return mass, sum(count * offer.mass_within_g for count, offer in offers)


@dataclass(frozen=True, slots=True, kw_only=True)
class ConfirmedLine:
    """A line in words."""

    code: str
    title: str
    words: str
    count: str
    each: str
    retail: str
    amount: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedLine:
    """A line of the packing list in words."""

    code: str
    title: str
    words: str
    count: str
    weight: str


def confirmation(order: ConfirmedOrder) -> TypesetSheet:
    """Give the confirmation to typeset."""
    phrasing = Phrasing.of(order.theme, order.studio)
    wording, listings = phrasing.wording, _listings(order.items)
    lines = [
        ConfirmedLine(
            code=item.offer.sku,
            title=item.listing.title,
            words=_words(order, item.offer, phrasing),
            count=wording.number(Decimal(item.count), 0),
            each=wording.money(item.trade.printed),
            retail=wording.money(item.retail.paid),
            amount=wording.money(amount),
        )
        for item, amount in zip(order.items, order.bill.amounts, strict=False)
    ]
    data = {
        **_head(order, phrasing),
        "lines": [asdict(line) for line in lines],
        "carriage": wording.money(order.bill.amounts[-1]) if order.keys.carriage else "",
        "sums": [asdict(line) for line in bill_lines(order.bill, order.channel, Decimal(0), phrasing)],
        "tax": tax_sentence(order.theme, order.channel.shown_tax),
        "terms": [words for words in (_sent(order, phrasing), order.keys.terms or order.channel.terms) if words],
        "cautions": list(all_caution_lines(listings, order.theme)),
    }
    return TypesetSheet(theme=order.theme, template="bench/order.typ", data=data, day=order.day)


def packing_list(order: ConfirmedOrder) -> TypesetSheet:
    """Give the packing list to typeset."""
    phrasing = Phrasing.of(order.theme, order.studio)
    wording = phrasing.wording
    lines = [
        PackedLine(
            code=item.offer.sku,
            title=item.listing.title,
            words=_words(order, item.offer, phrasing),
            count=wording.number(Decimal(item.count), 0),
            weight=wording.mass(item.count * item.offer.mass_g, item.count * item.offer.mass_within_g),
        )
        for item in order.items
    ]
    data = {
        **_head(order, phrasing),
        "lines": [asdict(line) for line in lines],
        "summary": phrasing.say(phrase("order.load", count=order.pieces, weight=wording.mass(*order.mass_g))),
        "sent": _sent(order, phrasing),
        "caution": order.theme.labels["market"]["packing_caution"],
    }
    return TypesetSheet(theme=order.theme, template="bench/order_packing.typ", data=data, day=order.day)


def _head(order: ConfirmedOrder, phrasing: Phrasing) -> dict[str, object]:
    studio, keys, labels = order.studio, order.keys, order.theme.labels
    return {
        "labels": {**labels["order"], "page": labels["stall"]["page"]},
        "language": studio.language,
        "studio": {"name": studio.name, "maker": studio.maker, "place": studio.place, "email": studio.email},
        "paper": PAPERS[studio.paper],
        "buyer": keys.buyer,
        "contact": keys.contact or "",
        "dated": phrasing.say(phrase("order.dated", day=keys.dated)),
        "reference": phrasing.say(phrase("order.reference", number=keys.reference)) if keys.reference else "",
    }


def _words(order: ConfirmedOrder, offer: Offer, phrasing: Phrasing) -> str:
    return joined((size_words(order.theme, phrasing.wording, offer), offer.finish, offer.glass))


def _sent(order: ConfirmedOrder, phrasing: Phrasing) -> str:
    return phrasing.say(phrase("order.sent", day=order.ready_by)) if order.ready_by is not None else ""


def _listings(items: Sequence[ConfirmedItem]) -> list[Listing]:
    """Give each product once."""
    return list({item.listing.slug: item.listing for item in items}.values())
