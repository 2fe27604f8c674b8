"""The full addresses of the catalogue's pages and pictures, and when they changed: for machines and for links."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from catalog_builder.offer import Listing
from catalog_builder.publish.catalogue.descriptors import Described, breadcrumbs, product_group, studio_data
from catalog_builder.publish.catalogue.feed import MOST, FeedEntry
from catalog_builder.publish.catalogue.link_card import HOME, product_card, series_card
from catalog_builder.publish.catalogue.list_page import list_path
from catalog_builder.publish.catalogue.listing_view import CatalogueContent
from catalog_builder.publish.pictures.raster import PREVIEW_EDGE

LOGO = "assets/icon-512.png"


class Addresses:
    """The full addresses of what is shown; ``newest`` holds all listings, the newest first."""

    def __init__(self, content: CatalogueContent, newest: Sequence[Listing]) -> None:
        self.content = content
        self.theme = content.theme
        self.newest = newest
        self.by_slug = {listing.slug: listing for listing in newest}
        self._newest_in: dict[str, date] = {}
        for listing in reversed(newest):
            self._newest_in[listing.series] = listing.added

    def page(self, path: str) -> str:
        """Give a page's address; the front page is the catalogue's own."""
        return self.content.studio.address + ("" if path == "index.html" else path)

    def changed(self, path: str) -> date | None:
        """Give the day on which something was last added to a page; None where the records do not say."""
        kind, _, name = list_path(path).removesuffix(".html").partition("/")
        if kind == "products":
            return self.by_slug[name].added
        if kind == "series":
            return self._newest_in[name]
        return self.newest[0].added if kind in ("index", "find") else None

    def images(self, listing: Listing) -> tuple[str, ...]:
        """Give a product's photos at their largest, its drawn picture as pixels first where no photo leads."""
        root = f"{self.content.studio.address}pictures/"
        pictures = self.content.pictures[listing.slug]
        photos = tuple(f"{root}{shot.name}-{shot.prints.renditions[-1].width}.jpg" for shot in pictures.shots)
        return photos if pictures.leading else (f"{root}{drawn_name(listing.slug)}", *photos)

    def card(self, path: str) -> tuple[str, str]:
        """Give the path of the card that stands for a page, and its words."""
        kind, _, name = list_path(path).removesuffix(".html").partition("/")
        card, title = HOME, self.newest[0].title
        if kind == "products":
            card, title = product_card(name), self.by_slug[name].title
        elif kind == "series":
            card, title = series_card(name), self.content.all_series[name].title
        return card, self.theme.words("pages", "card_alt", title=title, studio=self.content.studio.name)

    def entries(self) -> list[FeedEntry]:
        """Give what the feed of new work holds."""
        entries = []
        for listing in self.newest[:MOST]:
            shots = self.content.pictures[listing.slug].leading
            largest = shots[0].prints.renditions[-1] if shots else None
            entries.append(
                FeedEntry(
                    listing=listing,
                    series=self.content.all_series[listing.series].title,
                    address=self.page(f"products/{listing.slug}.html"),
                    shown=self.page(listing.page_of(listing.first)),
                    picture=self.images(listing)[0],
                    size=(largest.width, largest.height) if largest else (PREVIEW_EDGE, PREVIEW_EDGE),
                )
            )
        return entries

    def studio(self) -> tuple[Mapping[str, object], ...]:
        """Describe the studio and its catalogue for machines."""
        has_logo = any(name == LOGO for name, _ in self.theme.assets())
        return studio_data(self.content.studio, self.content.studio.address + LOGO if has_logo else "")

    def way(self, series: str, *further: tuple[str, str]) -> Mapping[str, object]:
        """Describe the way to a series, and on to a product's name and address."""
        title = self.content.all_series[series].title
        home = self.theme.words("navigation", "home")
        steps = ((home, self.page("index.html")), (title, self.page(f"series/{series}.html")))
        return breadcrumbs([*steps, *further])

    def product(self, listing: Listing) -> tuple[Mapping[str, object], ...]:
        """Describe a product, its variants and the way to it."""
        about = Described(
            address=self.page(f"products/{listing.slug}.html"),
            images=self.images(listing),
            series=self.content.all_series[listing.series].title,
            technique=self.theme.words("facts", "technique_value"),
            footprint=self.theme.words("standing", "footprint"),
            colours=self.theme.labels["plain_colours"],
        )
        group = product_group(listing, about, self.content.studio)
        return group, self.way(listing.series, (listing.title, about.address))


def drawn_name(slug: str) -> str:
    """Give the name of a drawn picture's file of pixels; no photo's file can have it, since those end in a number."""
    return f"{slug}-drawn.jpg"
