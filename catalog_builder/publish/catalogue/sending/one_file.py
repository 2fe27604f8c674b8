"""The whole catalogue as one page, for sending. Made from listings and pictures only."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from math import inf

from catalog_builder.mistake import Mistake, MistakeError, Place
from catalog_builder.offer import Listing
from catalog_builder.phrase import phrase
from catalog_builder.publish.catalogue.listing_view import CatalogueContent, ListingViews, newest_first
from catalog_builder.publish.catalogue.own_links import own_links, terms_link
from catalog_builder.publish.catalogue.sending.edition_views import ChapterView, EditionView, EntryView
from catalog_builder.publish.catalogue.sending.embedding import embedded
from catalog_builder.publish.catalogue.sending.sent import SentSelection
from catalog_builder.publish.pictures.album import Shot
from catalog_builder.publish.pictures.gallery import Pictures
from catalog_builder.publish.pictures.photo import Rendition
from catalog_builder.publish.theme.caution_lines import caution_lines
from catalog_builder.publish.theme.loading import marked_up
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.tax_words import catalogue_tax
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.publish.views import LinkView, MarketView, PageView, PictureView, StudioView
from catalog_builder.records.selling.market_date import coming

TEMPLATE = "one_file.html"


@dataclass(frozen=True, slots=True)
class Likeness:
    """How much of its pictures a catalogue to send holds.

    ``edge`` is the longest edge of a photo in pixels, ``most`` how many pictures of a product there may be, and
    ``thumbs`` whether the list of contents shows pictures too.
    """

    edge: int
    most: int
    thumbs: bool = True

    def chosen(self, pictures: Pictures) -> tuple[tuple[str, int], ...]:
        """Give the names and widths of the pictures of a product that it holds; a width of 0 is the drawn one's."""
        photos = [(shot.name, self.rendition(shot).width) for shot in pictures.shots]
        drawn = [("", 0)] if pictures.with_drawing else []
        return tuple([*photos, *drawn] if pictures.leading else [*drawn, *photos])[: self.most]

    def rendition(self, shot: Shot) -> Rendition:
        """Give the largest size of a photo that is not over the edge, else its smallest."""
        fitting = [size for size in shot.prints.renditions if max(size.width, size.height) <= self.edge]
        return fitting[-1] if fitting else shot.prints.renditions[0]


SMALL = Likeness(480, 1)


class TooLargeError(Exception):
    """A document would be larger than there is room for."""


class _FileViews(ListingViews):
    """Words listings for one file: a photo in one size, as WebP."""

    def __init__(self, content: CatalogueContent, newest: tuple[Listing, ...], likeness: Likeness) -> None:
        super().__init__(content, newest)
        self.likeness = likeness

    def pictures(self, listing: Listing, root: str) -> tuple[PictureView, ...]:
        """Give as many of a product's pictures as there is room for."""
        return super().pictures(listing, root)[: self.likeness.most]

    def _shot(self, listing: Listing, shot: Shot, root: str) -> PictureView:
        size = self.likeness.rendition(shot)
        return replace(
            super()._shot(listing, shot, root),
            src=f"{root}pictures/{shot.name}-{size.width}.webp",
            width=size.width,
            height=size.height,
            sources=(),
            largest="",
        )


class _Files(Mapping[str, bytes]):
    """What a page may load, read as it is put into it, until that is more than there is room for."""

    def __init__(self, files: Mapping[str, Callable[[], bytes]], room: float) -> None:
        self.files = files
        self.room = room

    def __getitem__(self, name: str) -> bytes:
        data = self.files[name]()
        self.room -= len(data)
        if self.room < 0:
            raise TooLargeError
        return data

    def __contains__(self, name: object) -> bool:
        return name in self.files

    def __iter__(self) -> Iterator[str]:
        return iter(self.files)

    def __len__(self) -> int:
        return len(self.files)


def one_file(sent: SentSelection, address: str, likeness: Likeness, room: float = inf) -> str:
    """Give the page with everything in it; ``address`` is where it stands on the web.

    Raises:
        MistakeError: the theme's template names a file that is not there.
        TooLargeError: the files in it alone are more than ``room`` bytes.
    """
    content = sent.content
    newest = newest_first(content.listings)
    theme, date_text = content.theme, Wording.of(content.studio).plain_day(content.day)
    shared = shared_cautions(content)
    views = _FileViews(content, newest, likeness)
    chapters = tuple(_chapters(sent, views, shared))
    title = theme.words("edition", "title", studio=content.studio.name, date=date_text)
    html = theme.render(
        TEMPLATE,
        page=_page(sent, chapters, title, address),
        studio=StudioView.of(content.studio),
        edition=EditionView(
            dated=date_text,
            site=LinkView(text=theme.words("edition", "site"), href=content.studio.address, current=False),
            newest=sent.note,
        ),
        hero=views.lead(newest[0], ""),
        chapters=chapters,
        cautions=shared,
        care=marked_up(content.texts.get("care", "")),
        about=marked_up(content.texts.get("about", "")),
        terms=marked_up(content.texts.get("terms", "")),
        markets=tuple(MarketView.of(market, views.wording) for market in coming(content.markets, content.day)),
    )
    assets = {name: partial(bytes, data) for name, data in theme.assets([html])}
    files = _Files({**assets, **_pictures(content)}, room)
    try:
        return embedded(html, files, content.studio.address)
    except KeyError as missing:
        mistake = Mistake(
            place=Place(path=f"themes/{theme.folder.name}/templates/{TEMPLATE}"),
            wrong=f"it loads {missing.args[0]}, which is not there or is of no kind that can be put into a page",
            expected="a style of assets/, or an SVG, WebP, JPEG or PNG picture",
            mend="put the file into assets/ of the theme, or mend its name",
        )
        raise MistakeError([mistake]) from None


def shared_cautions(content: CatalogueContent) -> tuple[str, ...]:
    """Give the cautions that every product has, in the order in which they are read."""
    first, *others = (caution_lines(listing, content.theme) for listing in content.listings)
    return tuple(line for line in first if all(line in lines for lines in others))


def _chapters(sent: SentSelection, views: _FileViews, shared: tuple[str, ...]) -> list[ChapterView]:
    content, chapters = sent.content, []
    phrasing = Phrasing(content.theme.labels, views.wording)
    for slug, series in content.all_series.items():
        listings = [listing for listing in views.newest if listing.series == slug]
        if listings:
            chapters.append(
                ChapterView(
                    anchor=f"series-{slug}",
                    title=series.title,
                    summary=series.summary,
                    count_text=phrasing.say(phrase("series.count", count=len(listings))),
                    entries=tuple(_entry(sent, views, listing, shared) for listing in listings),
                )
            )
    return chapters


def _entry(sent: SentSelection, views: _FileViews, listing: Listing, shared: tuple[str, ...]) -> EntryView:
    content = sent.content
    address = f"{content.studio.address}products/{listing.slug}.html"
    page = _page(sent, (), listing.title, address)
    view = views.product(listing, page)
    product = replace(
        view,
        series=LinkView(text=content.all_series[listing.series].title, href=f"#series-{listing.series}", current=False),
        cautions=tuple(line for line in view.cautions if line not in shared),
        neighbours=(),
    )
    small = _FileViews(content, views.newest, SMALL)
    return EntryView(
        anchor=f"piece-{listing.slug}",
        product=product,
        price_from=views.card(listing, "").price_from,
        thumb=small.lead(listing, "") if views.likeness.thumbs else None,
        on_site=LinkView(text=content.theme.words("edition", "on_site"), href=address, current=False),
    )


def _page(sent: SentSelection, chapters: tuple[ChapterView, ...], title: str, address: str) -> PageView:
    content, words = sent.content, sent.content.theme.labels["navigation"]
    walls = content.theme.about.colours
    links = [
        (words["home"], "main"),
        *((chapter.title, chapter.anchor) for chapter in chapters),
        *((words[name], name) for name in ("about", "care", "dates")),
    ]
    terms = terms_link(content, "", "")
    return PageView(
        kind="one_file",
        title=title,
        description=sent.description,
        root="",
        language=content.studio.language,
        address=address,
        tax=catalogue_tax(content.theme, content.listings),
        navigation=tuple(LinkView(text=text, href=f"#{anchor}", current=False) for text, anchor in links),
        terms=replace(terms, href="#terms") if terms else None,
        own_pages=own_links(content, "", content.studio.address),
        wall_by_day=walls.wall_by_day if walls else "",
        wall_by_night=walls.wall_by_night if walls else "",
    )


def _pictures(content: CatalogueContent) -> dict[str, Callable[[], bytes]]:
    """Give the ways to all pictures: together they may be more than memory holds."""
    files: dict[str, Callable[[], bytes]] = {}
    for slug, pictures in content.pictures.items():
        if pictures.with_drawing:
            files[f"pictures/{slug}.svg"] = partial(pictures.read_drawing, "drawn")
        for shot in pictures.shots:
            files |= {
                f"pictures/{shot.name}-{size.width}.webp": partial(size.data, "webp") for size in shot.prints.renditions
            }
    return files
