"""Whether a piece can be had, in words: ready to send, made to order with its lead time, or sold."""

from __future__ import annotations

from catalog_builder.offer import Listing, Offer
from catalog_builder.phrase import Phrase, phrase
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording

DAYS_A_WEEK = 7


class AvailabilityWords:
    """Words the availability of variants and of products."""

    def __init__(self, theme: Theme, wording: Wording) -> None:
        self.phrasing = Phrasing(theme.labels, wording)

    def of_offer(self, offer: Offer) -> str:
        """Say whether a variant can be had."""
        return self.phrasing.say(_of_offer(offer))

    def of_card(self, listing: Listing) -> str:
        """Say whether a product can be had, as shortly as a list does."""
        return self.phrasing.say(_of_listing(listing, with_orders=False))

    def of_page(self, listing: Listing) -> str:
        """Say whether a product can be had, and what of it is made to order."""
        return self.phrasing.say(_of_listing(listing, with_orders=True))


def _of_offer(offer: Offer) -> Phrase:
    match offer.availability:
        case "sold":
            return phrase("availability.sold")
        case "one only":
            return phrase("availability.one_only")
        case "in stock":
            return phrase("ready.count", count=offer.ready) if offer.ready else phrase("availability.in_stock")
        case "made to order":
            return _to_order(offer)


def _of_listing(listing: Listing, *, with_orders: bool) -> Phrase:
    ordered = [offer for offer in listing.for_sale if offer.recorded == "made to order"]
    if not listing.ready or listing.for_sale[0].recorded == "one only":
        return _of_offer(next(iter(listing.for_sale), listing.offers[0]))
    ready = phrase("ready.count", count=listing.ready)
    if not with_orders or not ordered:
        return ready
    return phrase("ready.and_to_order", ready=ready, order=_to_order(ordered[0], begins=False))


def _to_order(offer: Offer, *, begins: bool = True) -> Phrase:
    """Say that it is made to order, and in what time; ``begins`` says that a sentence begins with it."""
    days = offer.lead_days
    if days is None:
        return phrase("availability.made_to_order" if begins else "ready.others")
    weeks, rest = divmod(days, DAYS_A_WEEK)
    unit, count = ("weeks", weeks) if not rest else ("days", days)
    return phrase(f"ready.order_{unit}" if begins else f"ready.others_{unit}", count=count)
