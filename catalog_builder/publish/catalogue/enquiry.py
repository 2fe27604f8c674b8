"""How a buyer asks for a variant: by a mail that names it, or by the studio's own link."""

from __future__ import annotations

from urllib.parse import quote, urlsplit

from catalog_builder.offer import Listing, Offer
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.tax_words import price_words
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.publish.views import StudioView
from catalog_builder.records.selling.enquiry_link import filled
from catalog_builder.records.studio_tables.studio_keys import StudioKeys


class Enquiries:
    """Words the enquiries of a studio."""

    def __init__(self, studio: StudioKeys, theme: Theme, wording: Wording) -> None:
        self.studio = studio
        self.theme = theme
        self.wording = wording
        self.mailbox = StudioView.of(studio).email_href

    def href(self, listing: Listing, offer: Offer) -> str:
        """Give the link that asks for a variant; nothing where it is sold."""
        if offer.sold:
            return ""
        words = {
            "title": listing.title,
            "variant": offer.words,
            "code": offer.sku,
            "price": price_words(self.theme, self.wording, offer.online),
            "address": self.studio.address + listing.page_of(offer),
        }
        if self.studio.enquiry is not None:
            return filled(self.studio.enquiry, words)
        subject = self.theme.words("product", "enquiry_subject", title=listing.title, studio=self.studio.name)
        lines = [
            self.theme.words("product", "enquiry_line", choice=f"{listing.title}, {offer.words}"),
            self.theme.words("enquiry", "price", price=words["price"]),
            self.theme.words("enquiry", "code", code=offer.sku),
            words["address"],
        ]
        # Lines of a mail end with both signs (RFC 6068, 5).
        body = "\r\n".join(lines)
        return f"{self.mailbox}?subject={quote(subject, safe='')}&body={quote(body, safe='')}"

    @property
    def note(self) -> str:
        """Say what happens when a buyer asks."""
        link = self.studio.enquiry or "mailto:"
        if link.startswith("tel:"):
            return self.theme.words("enquiry", "by_phone")
        if link.startswith("https:"):
            return self.theme.words("enquiry", "by_site", host=urlsplit(link).hostname or "")
        return self.theme.words("product", "enquiry_note")
