"""What of the catalogue is sent as one file: all of it, or the newest where that would be too much."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from decimal import Decimal

from catalog_builder.cache.store import key_of, program
from catalog_builder.publish.catalogue.listing_view import CatalogueContent, newest_first
from catalog_builder.publish.theme.wording import Wording

# A book of so many is 250 pages, about what a mail can still take.
MOST_SENT = 120


@dataclass(frozen=True, slots=True)
class SentSelection:
    """The content that is sent, and how many products there are in all."""

    content: CatalogueContent
    total: int

    @classmethod
    def of(cls, content: CatalogueContent) -> SentSelection:
        """Choose the newest products, where there are more than may be sent."""
        total = len(content.listings)
        if not is_chosen(content):
            return cls(content, total)
        newest = {listing.slug for listing in newest_first(content.listings)[:MOST_SENT]}
        listings = tuple(listing for listing in content.listings if listing.slug in newest)
        pictures = {slug: content.pictures[slug] for slug in newest}
        return cls(replace(content, listings=listings, pictures=pictures), total)

    @property
    def count(self) -> int:
        """How many products are sent."""
        return len(self.content.listings)

    @property
    def note(self) -> str:
        """The words that say that these are only the newest; empty where all are sent."""
        return self._words("newest") if self.count < self.total else ""

    @property
    def description(self) -> str:
        """The description of the file in words."""
        return self._words("description_newest" if self.count < self.total else "description")

    def key(self, document: str, room: int) -> str:
        """Give the key of a document of so many bytes at the most, of all that may be shown in it."""
        pictures = self.content.pictures
        values = {field.name: getattr(self.content, field.name) for field in fields(self.content)}
        del values["store"]
        values["theme"] = self.content.theme.key
        values["pictures"] = [(slug, pictures[slug].key_with_photos) for slug in sorted(pictures)]
        return key_of(program(), document, room, self.total, values)

    def _words(self, name: str) -> str:
        wording = Wording.of(self.content.studio)
        return self.content.theme.words(
            "edition", name, studio=self.content.studio.name, date=wording.plain_day(self.content.day),
            count=wording.number(Decimal(self.count), 0), all=wording.number(Decimal(self.total), 0),
        )  # fmt: skip


def is_chosen(content: CatalogueContent) -> bool:
    """True where there are more products than are sent."""
    return len(content.listings) > MOST_SENT
