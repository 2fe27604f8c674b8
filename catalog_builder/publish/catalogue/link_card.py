"""The preview cards of shared links: one for the front page, each series and each product."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from catalog_builder.cache.store import Store, key_of
from catalog_builder.offer import Listing
from catalog_builder.publish.catalogue.listing_view import CatalogueContent, ListingViews
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.pictures.gallery import Pictures
from catalog_builder.publish.pictures.link_picture import MOST_PICTURES, CardLook, Pane, make_card
from catalog_builder.publish.theme.loading import Theme

HOME = "previews/home.jpg"
# A photo of this many px at its shorter side fills a card's pane.
_ENOUGH = 600


def product_card(slug: str) -> str:
    """Give the path of a product's card."""
    return f"previews/products/{slug}.jpg"


def series_card(slug: str) -> str:
    """Give the path of a series' card."""
    return f"previews/series/{slug}.jpg"


@dataclass(frozen=True, slots=True)
class Cards:
    """Makes cards in a theme's look, or takes them from the store."""

    theme: Theme
    store: Store

    def key(self, pictures: Sequence[Pictures], name: str, words: str) -> str:
        """Give the key of all that a card follows from."""
        key = key_of("link card", self.theme.key, [_key(each) for each in pictures], name, words)
        self.store.use("cards", key)
        return key

    def kept(self, pictures: Sequence[Pictures], name: str, words: str) -> bytes:
        """Give the card of some pictures with a name, and smaller words above it."""

        def make() -> bytes:
            return make_card([pane_of(each) for each in pictures], name, words, card_look(self.theme))

        return self.store.kept("cards", self.key(pictures, name, words), make)


def write_link_cards(content: CatalogueContent, views: ListingViews, folder: Folder) -> None:
    """Write every card."""
    cards, studio, newest, inside = Cards(content.theme, content.store), content.studio, views.newest, views.inside

    def write(path: str, listings: Sequence[Listing], name: str, words: str) -> None:
        pictures = [content.pictures[listing.slug] for listing in listings]
        folder.make(path, cards.key(pictures, name, words), partial(cards.kept, pictures, name, words))

    write(HOME, newest[:1], studio.name, studio.tagline)
    for slug, series in content.all_series.items():
        if slug in inside:
            write(series_card(slug), inside[slug][:MOST_PICTURES], series.title, studio.name)
    for listing in newest:
        write(product_card(listing.slug), [listing], listing.title, studio.name)


def _key(pictures: Pictures) -> tuple[object, ...]:
    leading = pictures.leading
    return (leading[0].prints.key, leading[0].focus) if leading else (pictures.key,)


def card_look(theme: Theme) -> CardLook:
    """Give how a theme sets its cards: by the table ``[card]`` of ``theme.toml``, its own or a lower theme's.

    Letters that the theme has not got are taken from DejaVu Sans.
    """
    spare = Path(__file__).parent / "letters" / "dejavu-sans.woff2"
    card = theme.about.card
    if card is None:
        return CardLook(
            name_letters=(spare,),
            studio_letters=(spare,),
            wall="#f2f2f0",
            lead="#444a50",
            ink="#1d2126",
            soft="#4d555c",
        )
    name, studio = (theme.file(file) for file in (card.name_letters, card.studio_letters))
    return CardLook(
        name_letters=(name, spare),
        studio_letters=(studio, spare),
        wall=card.wall,
        lead=card.lead,
        ink=card.ink,
        soft=card.soft,
    )


def pane_of(pictures: Pictures) -> Pane:
    """Give the first photo in a size that is enough, or the drawn picture as pixels."""
    if not pictures.leading:
        return Pane(pictures.preview, (0.5, 0.5))
    shot = pictures.leading[0]
    sizes = shot.prints.renditions
    size_large_enough = next((size for size in sizes if min(size.width, size.height) >= _ENOUGH), sizes[-1])
    return Pane(size_large_enough.jpeg, shot.focus)
