"""The public catalogue. It is handed listings and pictures, and sees nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from urllib.parse import urlsplit

from markupsafe import Markup

from catalog_builder.offer import Listing
from catalog_builder.pictures.album import PREVIEW_EDGE
from catalog_builder.pictures.card import SIZE
from catalog_builder.pictures.gallery import Pictures
from catalog_builder.publish import feed, manifest
from catalog_builder.publish.caution_lines import all_caution_lines
from catalog_builder.publish.descriptors import (
    Described,
    breadcrumbs,
    linked_data,
    market_event,
    product_group,
    sitemap,
    studio_data,
)
from catalog_builder.publish.finder import Finder
from catalog_builder.publish.folder import Folder
from catalog_builder.publish.inlined_style import inlined_style
from catalog_builder.publish.link_card import HOME, collection_card, link_cards, product_card
from catalog_builder.publish.listing_view import ListingViews, Shown
from catalog_builder.publish.pages import marked_up
from catalog_builder.publish.views import (
    CollectionView,
    LinkView,
    MarketView,
    PageView,
    StudioView,
)
from catalog_builder.publish.wording import Wording
from catalog_builder.records.market import Market, coming

NEWEST = 6
LOST = "404.html"


def write_catalogue(shown: Shown, folder: Folder) -> int:
    """Write every page, picture and asset of the catalogue, and give the count of pages."""
    for slug in sorted(shown.pictures):
        _write_pictures(folder, slug, shown.pictures[slug])
    for name, data in shown.theme.assets():
        if not name.startswith(("assets/bench", "assets/stall")):
            folder.write(name, data)
    maker = _Pages(shown)
    pages = maker.all()
    for path, html in pages.items():
        folder.write(path, html)
    for path, card in link_cards(shown, maker.newest):
        folder.write(path, card)
    listed = [(maker.address(path), maker.changed(path)) for path in sorted(pages) if path != LOST]
    folder.write("sitemap.xml", sitemap(listed))
    folder.write(feed.NAME, maker.feed())
    folder.write(manifest.NAME, manifest.web_manifest(shown.studio, shown.theme))
    folder.write("robots.txt", f"User-agent: *\nAllow: /\nSitemap: {shown.studio.address}sitemap.xml\n")
    return len(pages)


def _write_pictures(folder: Folder, slug: str, pictures: Pictures) -> None:
    folder.write(f"pictures/{slug}.svg", pictures.drawn)
    if not pictures.shots:
        # Machines that show a product want pixels.
        folder.write(f"pictures/{slug}.jpg", pictures.preview)
    for shot in pictures.shots:
        for one in shot.prints.renditions:
            folder.write(f"pictures/{shot.name}-{one.width}.jpg", one.jpeg)
            folder.write(f"pictures/{shot.name}-{one.width}.webp", one.webp)


class _Pages:
    """Fills the theme's templates, page by page."""

    def __init__(self, shown: Shown) -> None:
        self.shown = shown
        self.theme = shown.theme
        self.wording = Wording.of(shown.studio)
        self.studio = StudioView.of(shown.studio)
        self.newest = sorted(shown.listings, key=lambda one: (-one.added.toordinal(), one.slug))
        self.markets = coming(shown.markets, shown.day)
        self.views = ListingViews(shown, tuple(self.newest))

    def all(self) -> dict[str, str]:
        """Give every page's HTML by its path."""
        pages = {
            "index.html": self.home(),
            "find.html": self.find(),
            "about.html": self.about(),
            "care.html": self.care(),
            "dates.html": self.dates(),
            LOST: self.not_found(),
        }
        for slug in self._used():
            pages[f"collections/{slug}.html"] = self.collection(slug)
        for listing in self.shown.listings:
            pages[f"products/{listing.slug}.html"] = self.product(listing)
        return pages

    def address(self, path: str) -> str:
        """Give a page's full public address; the front page is the catalogue's own."""
        return self.shown.studio.address + ("" if path == "index.html" else path)

    def home(self) -> str:
        words = {"studio": self.studio.name, "tagline": self.studio.tagline, "maker": self.studio.maker}
        page = self._page(
            "home",
            "index.html",
            self._words("home_title", **words),
            self._words("home_description", **words, place=self.studio.place),
            *studio_data(self.shown.studio, self._logo()),
        )
        return self._render(
            page,
            newest=tuple(self.views.card(listing, "") for listing in self.newest[:NEWEST]),
            next_market=self._market(self.markets[0]) if self.markets else None,
            hero=self.views.lead(self.newest[0], ""),
        )

    def collection(self, slug: str) -> str:
        view = next(one for one in self._collections("../") if one.slug == slug)
        title = self._titled("collection_title", collection=view.title)
        way = breadcrumbs(self._way(slug))
        return self._render(
            self._page("collection", f"collections/{slug}.html", title, view.summary, way), collection=view
        )

    def product(self, listing: Listing) -> str:
        title = self._titled("product_title", product=listing.title)
        path = f"products/{listing.slug}.html"
        about = Described(
            self.address(path),
            self._images(listing),
            self.shown.collections[listing.collection].title,
            self.theme.words("facts", "technique_value"),
            self.theme.words("columns", "finish"),
        )
        way = breadcrumbs([*self._way(listing.collection), (listing.title, about.address)])
        page = self._page(
            "product", path, title, listing.summary, product_group(listing, about, self.shown.studio), way
        )
        return self._render(page, product=self.views.product(listing, page))

    def find(self) -> str:
        finder = Finder(self.views, self.shown.collections)
        return self._render(self._plain("find"), finder=finder.view())

    def about(self) -> str:
        page = self._plain("about")
        return self._render(page, body=marked_up(self.shown.texts.get("about", "")))

    def care(self) -> str:
        lines = all_caution_lines(self.shown.listings, self.theme)
        return self._render(self._plain("care"), body=marked_up(self.shown.texts.get("care", "")), cautions=lines)

    def dates(self) -> str:
        address = self.address("dates.html")
        events = [market_event(one, self.shown.studio, address) for one in self.markets]
        return self._render(
            self._plain("dates", None, *events), markets=tuple(self._market(one) for one in self.markets)
        )

    def not_found(self) -> str:
        return self._render(self._plain("not_found", LOST))

    def _render(self, page: PageView, **values: object) -> str:
        collections = self._collections(page.root)
        return self.theme.render(f"{page.kind}.html", page=page, studio=self.studio, collections=collections, **values)

    def feed(self) -> bytes:
        """Give the feed of new work."""
        entries = []
        for listing in self.newest[: feed.MOST]:
            pictures = self.shown.pictures[listing.slug]
            picture = pictures.shots[0].prints.renditions[-1] if pictures.shots else None
            entries.append(
                feed.Entry(
                    listing,
                    self.shown.collections[listing.collection].title,
                    self.address(f"products/{listing.slug}.html"),
                    self._images(listing)[0],
                    (picture.width, picture.height) if picture else (PREVIEW_EDGE, PREVIEW_EDGE),
                )
            )
        return feed.atom_feed(self.studio, self.address("index.html"), self.shown.studio.language, entries)

    def changed(self, path: str) -> date | None:
        """Give the day on which something last came onto a page, where the records tell it."""
        shown = {
            "index.html": self.newest,
            "find.html": self.newest,
            **{
                f"collections/{slug}.html": [one for one in self.newest if one.collection == slug]
                for slug in self._used()
            },
            **{f"products/{listing.slug}.html": [listing] for listing in self.newest},
        }
        return max((one.added for one in shown.get(path, ())), default=None)

    def _way(self, collection: str) -> list[tuple[str, str]]:
        """Give the names and addresses that lead to a collection."""
        title = self.shown.collections[collection].title
        home = self.theme.words("navigation", "home")
        return [(home, self.address("index.html")), (title, self.address(f"collections/{collection}.html"))]

    def _images(self, listing: Listing) -> tuple[str, ...]:
        """Give the full addresses of a product's photos at their largest, or of its drawn picture as pixels."""
        root = f"{self.shown.studio.address}pictures/"
        shots = self.shown.pictures[listing.slug].shots
        photos = tuple(f"{root}{shot.name}-{shot.prints.renditions[-1].width}.jpg" for shot in shots)
        return photos or (f"{root}{listing.slug}.jpg",)

    def _logo(self) -> str:
        name = "assets/icon-512.png"
        return self.shown.studio.address + name if any(name == one for one, _ in self.theme.assets()) else ""

    def _plain(self, kind: str, path: str | None = None, *data: Mapping[str, object]) -> PageView:
        description = self._words(f"{kind}_description", studio=self.studio.name)
        return self._page(kind, path or f"{kind}.html", self._titled(f"{kind}_title"), description, *data)

    def _words(self, key: str, **values: object) -> str:
        return self.theme.words("pages", key, **values)

    def _titled(self, key: str, **values: object) -> str:
        return self._words("page_title", title=self._words(key, **values), studio=self.studio.name)

    def _page(self, kind: str, path: str, title: str, description: str, *data: Mapping[str, object]) -> PageView:
        root = "../" * path.count("/")
        card, alt = self._card(path)
        lost = path == LOST
        styles = self.theme.about.get("inlined_styles", [])
        return PageView(
            kind,
            title,
            description,
            root,
            self.shown.studio.language,
            self.address(path),
            self.shown.studio.address + card,
            alt,
            *SIZE,
            linked_data(*data),
            urlsplit(self.shown.studio.address).path if lost else "",
            inlined_style(self.theme, styles) if lost else Markup(),
            self._navigation(path, root),
        )

    def _card(self, path: str) -> tuple[str, str]:
        """Give the path of the card that stands for a page, and its words."""
        kind, _, name = path.removesuffix(".html").partition("/")
        if kind == "products":
            title = next(one.title for one in self.newest if one.slug == name)
            return product_card(name), self._words("card_alt", title=title, studio=self.studio.name)
        if kind == "collections":
            title = self.shown.collections[name].title
            return collection_card(name), self._words("card_alt", title=title, studio=self.studio.name)
        return HOME, self._words("card_alt", title=self.newest[0].title, studio=self.studio.name)

    def _navigation(self, path: str, root: str) -> tuple[LinkView, ...]:
        links = [
            ("home", "index.html"),
            ("find", "find.html"),
            ("about", "about.html"),
            ("care", "care.html"),
            ("dates", "dates.html"),
        ]
        navigation = [
            LinkView(self.theme.words("navigation", name), root + target, target == path) for name, target in links
        ]
        collections = [
            LinkView(
                self.shown.collections[slug].title,
                f"{root}collections/{slug}.html",
                path == f"collections/{slug}.html",
            )
            for slug in self._used()
        ]
        return (*navigation[:1], *collections, *navigation[1:])

    def _used(self) -> list[str]:
        """Give the collections that have products, in the order of the studio's record."""
        used = {listing.collection for listing in self.shown.listings}
        return [slug for slug in self.shown.collections if slug in used]

    def _collections(self, root: str) -> tuple[CollectionView, ...]:
        views = []
        for slug in self._used():
            listings = [one for one in self.newest if one.collection == slug]
            count = "count_one" if len(listings) == 1 else "count_many"
            collection = self.shown.collections[slug]
            views.append(
                CollectionView(
                    slug,
                    collection.title,
                    collection.summary,
                    f"{root}collections/{slug}.html",
                    self.theme.words("collection", count, count=len(listings)),
                    tuple(self.views.card(one, root) for one in listings),
                )
            )
        return tuple(views)

    def _market(self, market: Market) -> MarketView:
        dates = self.wording.day(market.date)
        if market.until is not None and market.until != market.date:
            dates = f"{dates} – {self.wording.day(market.until)}"
        return MarketView(market.name, market.place, dates, market.date.isoformat(), market.hours, market.note or "")
