"""What of the catalogue is sent as one file: all of it, or the newest where that would be too much."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from catalog_builder.cache.store import key_of, program
from catalog_builder.publish.catalogue.listing_view import CatalogueContent, newest_first
from catalog_builder.publish.theme.wording import Wording

# A book of so many is 250 pages; nobody leafs through more, and no mail takes them.
MOST_SENT = 120


@dataclass(frozen=True, slots=True)
class SentSelection:
    """What is sent, and of how many products."""

    shown: CatalogueContent
    total: int

    @classmethod
    def of(cls, shown: CatalogueContent) -> SentSelection:
        """Choose the newest products, where there are more than may be sent."""
        total = len(shown.listings)
        if not is_chosen(shown):
            return cls(shown, total)
        newest = {one.slug for one in newest_first(shown.listings)[:MOST_SENT]}
        listings = tuple(one for one in shown.listings if one.slug in newest)
        pictures = {slug: shown.pictures[slug] for slug in newest}
        return cls(replace(shown, listings=listings, pictures=pictures), total)

    @property
    def count(self) -> int:
        """How many products are sent."""
        return len(self.shown.listings)

    @property
    def note(self) -> str:
        """Say that these are not all; nothing where they are."""
        return self._words("newest") if self.count < self.total else ""

    @property
    def description(self) -> str:
        """Say what the file holds."""
        return self._words("description_newest" if self.count < self.total else "description")

    @property
    def key(self) -> str:
        """The key of all that may be shown of it."""
        shown = self.shown
        pictures = [(slug, shown.pictures[slug].whole_key) for slug in sorted(shown.pictures)]
        made_with = program(), shown.theme.key, shown.studio, shown.collections, shown.markets, shown.texts, shown.day
        return key_of(*made_with, shown.listings, self.total, pictures)

    def _words(self, name: str) -> str:
        wording = Wording.of(self.shown.studio)
        return self.shown.theme.words(
            "edition", name, studio=self.shown.studio.name, date=wording.plain_day(self.shown.day),
            count=wording.number(Decimal(self.count), 0), all=wording.number(Decimal(self.total), 0),
        )  # fmt: skip


def is_chosen(shown: CatalogueContent) -> bool:
    """Say whether there are more products than are sent."""
    return len(shown.listings) > MOST_SENT
