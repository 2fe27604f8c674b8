"""The whole catalogue as one page, for sending. It is handed listings and pictures, and sees nothing else."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from math import inf

from catalog_builder.mistake import Mistake, MistakeError, Place
from catalog_builder.offer import Listing
from catalog_builder.phrase import phrase
from catalog_builder.publish.catalogue.edition_views import ChapterView, EditionView, EntryView
from catalog_builder.publish.catalogue.embedding import embedded
from catalog_builder.publish.catalogue.listing_view import CatalogueContent, ListingViews, newest_first
from catalog_builder.publish.catalogue.sent import SentSelection
from catalog_builder.publish.pictures.album import Shot
from catalog_builder.publish.pictures.gallery import Pictures
from catalog_builder.publish.pictures.photo import Rendition
from catalog_builder.publish.theme.caution_lines import caution_lines
from catalog_builder.publish.theme.loading import marked_up
from catalog_builder.publish.theme.phrasing import Phrasing
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
        return (*photos, ("", 0))[: self.most]

    def rendition(self, shot: Shot) -> Rendition:
        """Give the largest size of a photo that is not over the edge, else its smallest."""
        fitting = [one for one in shot.prints.renditions if max(one.width, one.height) <= self.edge]
        return fitting[-1] if fitting else shot.prints.renditions[0]


SMALL = Likeness(480, 1)


class TooLargeError(Exception):
    """A document would be larger than there is room for."""


class _FileViews(ListingViews):
    """Words listings for one file: a photo in one size, as WebP."""

    def __init__(self, shown: CatalogueContent, newest: tuple[Listing, ...], likeness: Likeness) -> None:
        super().__init__(shown, newest)
        self.likeness = likeness

    def pictures(self, listing: Listing, root: str) -> tuple[PictureView, ...]:
        """Give as many of a product's pictures as there is room for."""
        return super().pictures(listing, root)[: self.likeness.most]

    def _shot(self, listing: Listing, shot: Shot, root: str) -> PictureView:
        one = self.likeness.rendition(shot)
        return replace(
            super()._shot(listing, shot, root),
            src=f"{root}pictures/{shot.name}-{one.width}.webp",
            width=one.width,
            height=one.height,
            sources=(),
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
    shown = sent.shown
    newest = newest_first(shown.listings)
    theme, date_text = shown.theme, Wording.of(shown.studio).plain_day(shown.day)
    shared = shared_cautions(shown)
    views = _FileViews(shown, newest, likeness)
    chapters = tuple(_chapters(sent, views, shared))
    title = theme.words("edition", "title", studio=shown.studio.name, date=date_text)
    html = theme.render(
        TEMPLATE,
        page=_page(sent, chapters, title, address),
        studio=StudioView.of(shown.studio),
        edition=EditionView(
            dated=date_text,
            site=LinkView(text=theme.words("edition", "site"), href=shown.studio.address, current=False),
            newest=sent.note,
        ),
        hero=views.lead(newest[0], ""),
        chapters=chapters,
        cautions=shared,
        care=marked_up(shown.texts.get("care", "")),
        about=marked_up(shown.texts.get("about", "")),
        markets=tuple(MarketView.of(one, views.wording) for one in coming(shown.markets, shown.day)),
    )
    assets = {name: partial(bytes, data) for name, data in theme.assets([html])}
    files = _Files({**assets, **_pictures(shown)}, room)
    try:
        return embedded(html, files, shown.studio.address)
    except KeyError as missing:
        mistake = Mistake(
            place=Place(path=f"themes/{theme.folder.name}/templates/{TEMPLATE}"),
            wrong=f"it loads {missing.args[0]}, which is not there or is of no kind that can be put into a page",
            expected="a style of assets/, or an SVG, WebP, JPEG or PNG picture",
            mend="put the file into assets/ of the theme, or mend its name",
        )
        raise MistakeError([mistake]) from None


def shared_cautions(shown: CatalogueContent) -> tuple[str, ...]:
    """Give the cautions that every product has, in the order in which they are read."""
    first, *others = (caution_lines(listing, shown.theme) for listing in shown.listings)
    return tuple(line for line in first if all(line in lines for lines in others))


def _chapters(sent: SentSelection, views: _FileViews, shared: tuple[str, ...]) -> list[ChapterView]:
    shown, chapters = sent.shown, []
    phrasing = Phrasing(shown.theme.labels, views.wording)
    for slug, collection in shown.collections.items():
        listings = [one for one in views.newest if one.collection == slug]
        if listings:
            chapters.append(
                ChapterView(
                    anchor=f"collection-{slug}",
                    title=collection.title,
                    summary=collection.summary,
                    count_text=phrasing.say(phrase("collection.count", count=len(listings))),
                    entries=tuple(_entry(sent, views, one, shared) for one in listings),
                )
            )
    return chapters


def _entry(sent: SentSelection, views: _FileViews, listing: Listing, shared: tuple[str, ...]) -> EntryView:
    shown = sent.shown
    address = f"{shown.studio.address}products/{listing.slug}.html"
    page = _page(sent, (), listing.title, address)
    view = views.product(listing, page)
    product = replace(
        view,
        collection=LinkView(
            text=shown.collections[listing.collection].title, href=f"#collection-{listing.collection}", current=False
        ),
        cautions=tuple(line for line in view.cautions if line not in shared),
        neighbours=(),
    )
    small = _FileViews(shown, views.newest, SMALL)
    return EntryView(
        anchor=f"piece-{listing.slug}",
        product=product,
        price_from=views.card(listing, "").price_from,
        thumb=small.lead(listing, "") if views.likeness.thumbs else None,
        on_site=LinkView(text=shown.theme.words("edition", "on_site"), href=address, current=False),
    )


def _page(sent: SentSelection, chapters: tuple[ChapterView, ...], title: str, address: str) -> PageView:
    shown, words = sent.shown, sent.shown.theme.labels["navigation"]
    links = [
        (words["home"], "main"),
        *((one.title, one.anchor) for one in chapters),
        *((words[name], name) for name in ("about", "care", "dates")),
    ]
    return PageView(
        kind="one_file",
        title=title,
        description=sent.description,
        root="",
        language=shown.studio.language,
        address=address,
        navigation=tuple(LinkView(text=text, href=f"#{anchor}", current=False) for text, anchor in links),
    )


def _pictures(shown: CatalogueContent) -> dict[str, Callable[[], bytes]]:
    """Give the ways to all pictures: together they may be more than memory holds."""
    files: dict[str, Callable[[], bytes]] = {}
    for slug, pictures in shown.pictures.items():
        files[f"pictures/{slug}.svg"] = partial(pictures.kept, "drawn")
        for shot in pictures.shots:
            files |= {
                f"pictures/{shot.name}-{one.width}.webp": partial(one.data, "webp") for one in shot.prints.renditions
            }
    return files
