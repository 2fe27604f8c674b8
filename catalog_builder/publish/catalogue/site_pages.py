"""The pages of the public catalogue, each with what its template is handed: listings and pictures, nothing private."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from itertools import chain
from urllib.parse import urlsplit

from markupsafe import Markup

from catalog_builder.offer import Listing
from catalog_builder.phrase import phrase
from catalog_builder.publish.catalogue.addresses import Addresses
from catalog_builder.publish.catalogue.descriptors import linked_data, market_event
from catalog_builder.publish.catalogue.finder import Finder
from catalog_builder.publish.catalogue.finder_parts import FinderParts
from catalog_builder.publish.catalogue.inlined_style import inlined_style
from catalog_builder.publish.catalogue.list_page import SHOWN, ListPage, list_pages, list_path
from catalog_builder.publish.catalogue.listing_view import CatalogueContent, ListingViews, newest_first
from catalog_builder.publish.catalogue.own_links import TERMS, own_links, own_path, terms_link
from catalog_builder.publish.catalogue.sending.edition import to_send
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.pictures.link_picture import SIZE
from catalog_builder.publish.theme.caution_lines import all_caution_lines
from catalog_builder.publish.theme.loading import marked_up
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.tax_words import catalogue_tax
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.publish.views import (
    LinkView,
    MarketView,
    PageView,
    SeriesView,
    StudioView,
)
from catalog_builder.records.selling.market_date import coming

NEWEST = 6
LOST = "404.html"
# The path of a page, the page, and what else its template is handed.
_Page = tuple[str, PageView, dict[str, object]]


class SitePages:
    """Gives the pages of the catalogue, one after the other, each with what its template is handed."""

    def __init__(self, content: CatalogueContent) -> None:
        self.content = content
        self.theme = content.theme
        self.wording = Wording.for_buyers(content.studio)
        self.phrasing = Phrasing(content.theme.labels, self.wording)
        self.studio = StudioView.of(content.studio)
        self.newest = newest_first(content.listings)
        self.addresses = Addresses(content, self.newest)
        self.markets = coming(content.markets, content.day)
        self.views = ListingViews(content, self.newest)
        # The series that have products, in the order of the studio's record.
        self.used = [slug for slug in content.all_series if slug in self.views.inside]
        # Addresses that products had before, which tags and links still lead to.
        self.former_paths = {
            f"products/{name}.html": listing for listing in content.listings for name in listing.formerly
        }
        self.finder = Finder(self.views, content.all_series)
        # The version of the parts that the finder loads; empty where its page holds all.
        self.parts_version = ""
        self._views_of: dict[str, tuple[SeriesView, ...]] = {}

    def write(self, folder: Folder, only: str | None = None) -> list[str]:
        """Write every page, or the one of a path, and give their paths."""
        paths, listings = [], self.content.listings
        if only is None and len(self.newest) > SHOWN:
            self.parts_version = FinderParts(self.finder).write(folder)
        for path, page, values in chain(
            self._overviews(only),
            (self._product(listing) for listing in listings if only in (None, f"products/{listing.slug}.html")),
            (self._moved(path) for path in self.former_paths if only in (None, path)),
        ):
            self.theme.write_page(folder, path, f"{page.kind}.html", page=page, studio=self.studio, **values)
            paths.append(path)
        return paths

    def overview_paths(self) -> list[str]:
        """Give the paths of all pages that show several products or none."""
        return list(self._overview_makers())

    def _overviews(self, only: str | None) -> Iterator[_Page]:
        """Give the pages that show several products or none, or the one of a path; each can list all series."""
        makers = self._overview_makers()
        for name in [name for name in makers if only in (None, name)]:
            path, page, values = makers[name]()
            yield path, page, {"all_series": self._all_series(page.root), **values}

    def _overview_makers(self) -> dict[str, Callable[[], _Page]]:
        own = {page[0]: page for page in self._own_pages()}
        lists: dict[str, tuple[Callable[[ListPage], _Page], Sequence[Listing]]] = {
            "find.html": (self._find, self.newest),
            **{f"series/{slug}.html": (partial(self._series, slug), self.views.inside[slug]) for slug in self.used},
        }
        return {
            "index.html": self._home,
            "about.html": self._about,
            "care.html": self._care,
            "dates.html": self._dates,
            **{path: partial(own.__getitem__, path) for path in own},
            LOST: lambda: (LOST, self._plain("not_found", LOST), {}),
            **{
                page.own_path: partial(make, page)
                for path, (make, listings) in lists.items()
                for page in list_pages(path, listings)
            },
        }

    def _home(self) -> _Page:
        words = {"studio": self.studio.name, "tagline": self.studio.tagline, "maker": self.studio.maker}
        page = self._page(
            "home",
            "index.html",
            self._words("home_title", **words),
            self._words("home_description", **words, place=self.studio.place),
            *self.addresses.studio(),
        )
        return (
            "index.html",
            page,
            {
                "newest": tuple(self.views.card(listing, "") for listing in self.newest[:NEWEST]),
                "next_market": MarketView.of(self.markets[0], self.wording) if self.markets else None,
                "hero": self.views.lead(self.newest[0], ""),
            },
        )

    def _series(self, slug: str, shown: ListPage) -> _Page:
        view = next(view for view in self._all_series("../") if view.slug == slug)
        view = replace(view, cards=tuple(self.views.card(listing, "../") for listing in shown.listings))
        title = self._titled("series_title", series=shown.titled(self.theme, view.title))
        description = shown.titled(self.theme, view.summary)
        page = self._page("series", shown.own_path, title, description, self.addresses.way(slug))
        return shown.own_path, page, {"series": view, "pages": shown.view(self.theme)}

    def _product(self, listing: Listing) -> _Page:
        """Give a product's page; it is handed nothing of other products, which would change it with each of them."""
        title = self._titled("product_title", product=listing.title)
        path = f"products/{listing.slug}.html"
        page = self._page("product", path, title, listing.summary, *self.addresses.product(listing))
        return path, page, {"product": self.views.product(listing, page)}

    def _moved(self, path: str) -> _Page:
        """Give the page at a product's former address, which leads on to the one that it has now."""
        listing = self.former_paths[path]
        title = self._titled("product_title", product=listing.title)
        page = self._page("moved", f"products/{listing.slug}.html", title, listing.summary)
        return path, page, {"moved": LinkView(text=listing.title, href=f"{listing.slug}.html", current=False)}

    def _find(self, shown: ListPage) -> _Page:
        title, description = self._words("find_title"), self._words("find_description", studio=self.studio.name)
        title = self._words("page_title", title=shown.titled(self.theme, title), studio=self.studio.name)
        page = self._page("find", shown.own_path, title, shown.titled(self.theme, description))
        return (
            shown.own_path,
            page,
            {"finder": self.finder.view(shown, self.parts_version), "pages": shown.view(self.theme)},
        )

    def _about(self) -> _Page:
        return "about.html", self._plain("about"), {"body": marked_up(self.content.texts.get("about", ""))}

    def _care(self) -> _Page:
        values: dict[str, object] = {
            "body": marked_up(self.content.texts.get("care", "")),
            "cautions": all_caution_lines(self.content.listings, self.theme),
        }
        return "care.html", self._plain("care"), values

    def _own_pages(self) -> Iterator[_Page]:
        """Give the studio's terms, where there are any, and its own pages."""
        if terms := self.content.texts.get("terms"):
            heading = self.theme.words("own_pages", "terms")
            about = self.theme.words("own_pages", "terms_description", studio=self.studio.name)
            yield self._own_page(TERMS, heading, about, terms)
        for own in self.content.own_pages:
            about = self.theme.words("own_pages", "description", title=own.title, studio=self.studio.name)
            yield self._own_page(own_path(own), own.title, about, own.text)

    def _own_page(self, path: str, heading: str, description: str, text: str) -> _Page:
        title = self._words("page_title", title=heading, studio=self.studio.name)
        page = self._page("own_page", path, title, description)
        return path, page, {"heading": heading, "body": marked_up(text)}

    def _dates(self) -> _Page:
        address = self.addresses.page("dates.html")
        events = [market_event(market, self.content.studio, address) for market in self.markets]
        views = tuple(MarketView.of(market, self.wording) for market in self.markets)
        return "dates.html", self._plain("dates", None, *events), {"markets": views}

    def _plain(self, kind: str, path: str | None = None, *data: Mapping[str, object]) -> PageView:
        description = self._words(f"{kind}_description", studio=self.studio.name)
        return self._page(kind, path or f"{kind}.html", self._titled(f"{kind}_title"), description, *data)

    def _words(self, key: str, **values: object) -> str:
        return self.theme.words("pages", key, **values)

    def _titled(self, key: str, **values: object) -> str:
        return self._words("page_title", title=self._words(key, **values), studio=self.studio.name)

    def _page(self, kind: str, path: str, title: str, description: str, *data: Mapping[str, object]) -> PageView:
        root = "../" * path.count("/")
        card, alt = self.addresses.card(path)
        lost, walls = path == LOST, self.theme.about.colours
        return PageView(
            kind=kind,
            title=title,
            description=description,
            root=root,
            language=self.content.studio.language,
            address=self.addresses.page(path),
            tax=catalogue_tax(self.theme, self.newest),
            navigation=self._navigation(path, root),
            preview_image=self.content.studio.address + card,
            preview_alt=alt,
            preview_width=SIZE[0],
            preview_height=SIZE[1],
            structured_data=linked_data(*data),
            base=urlsplit(self.content.studio.address).path if lost else "",
            styles=inlined_style(self.theme, self.theme.about.inlined_styles or ()) if lost else Markup(),
            to_send=to_send(self.content, root),
            terms=terms_link(self.content, path, root),
            own_pages=own_links(self.content, path, root),
            wall_by_day=walls.wall_by_day if walls else "",
            wall_by_night=walls.wall_by_night if walls else "",
        )

    def _navigation(self, path: str, root: str) -> tuple[LinkView, ...]:
        links = [
            ("home", "index.html"),
            ("find", "find.html"),
            ("about", "about.html"),
            ("care", "care.html"),
            ("dates", "dates.html"),
        ]
        navigation = [
            LinkView(text=self.theme.words("navigation", name), href=root + target, current=target == list_path(path))
            for name, target in links
        ]
        all_series = [
            LinkView(
                text=self.content.all_series[slug].title,
                href=f"{root}series/{slug}.html",
                current=list_path(path) == f"series/{slug}.html",
            )
            for slug in self.used
        ]
        return (*navigation[:1], *all_series, *navigation[1:])

    def _all_series(self, root: str) -> tuple[SeriesView, ...]:
        if root in self._views_of:
            return self._views_of[root]
        views = []
        # Every overview shows something of each series; where there are many pieces, only the newest of them.
        most = SHOWN if len(self.newest) <= SHOWN else NEWEST
        for slug in self.used:
            listings = self.views.inside[slug]
            series = self.content.all_series[slug]
            views.append(
                SeriesView(
                    slug=slug,
                    title=series.title,
                    summary=series.summary,
                    href=f"{root}series/{slug}.html",
                    count_text=self.phrasing.say(phrase("series.count", count=len(listings))),
                    cards=tuple(self.views.card(listing, root) for listing in listings[:most]),
                    whole=len(listings) <= most,
                )
            )
        self._views_of[root] = tuple(views)
        return self._views_of[root]
