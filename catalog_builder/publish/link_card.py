"""The cards that stand beside links to the catalogue where they are passed on: one for each kind of thing shown."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from catalog_builder.offer import Listing
from catalog_builder.pictures.card import MOST_PICTURES, CardLook, Pane, make_card
from catalog_builder.pictures.gallery import Pictures
from catalog_builder.publish.listing_view import Shown
from catalog_builder.publish.pages import Theme

HOME = "previews/home.jpg"
# A photo of this many px at its shorter side fills a card's pane.
_ENOUGH = 600


def product_card(slug: str) -> str:
    """Give the path of a product's card."""
    return f"previews/products/{slug}.jpg"


def collection_card(slug: str) -> str:
    """Give the path of a collection's card."""
    return f"previews/collections/{slug}.jpg"


def link_cards(shown: Shown, newest: Sequence[Listing]) -> Iterator[tuple[str, bytes]]:
    """Make every card, with its path in the catalogue; ``newest`` holds all listings, the newest first."""
    look = card_look(shown.theme)
    studio = shown.studio
    panes = {listing.slug: _pane(shown.pictures[listing.slug]) for listing in newest}
    yield HOME, make_card([panes[newest[0].slug]], studio.name, studio.tagline, look)
    for slug, collection in shown.collections.items():
        inside = [panes[one.slug] for one in newest if one.collection == slug][:MOST_PICTURES]
        if inside:
            yield collection_card(slug), make_card(inside, collection.title, studio.name, look)
    for listing in newest:
        yield product_card(listing.slug), make_card([panes[listing.slug]], listing.title, studio.name, look)


def card_look(theme: Theme) -> CardLook:
    """Take from a theme how its cards are set: the table ``[card]`` of ``theme.toml``, its own or a lent one.

    Letters that the theme has not got are taken from DejaVu Sans, which comes with the plotting library.
    """
    import matplotlib as mpl

    spare = Path(mpl.get_data_path()) / "fonts" / "ttf" / "DejaVuSans.ttf"
    card = theme.about.card
    if card is None:
        return CardLook((spare,), (spare,), "#f2f2f0", "#444a50", "#1d2126", "#4d555c")
    name, studio = (theme.file(one) for one in (card.name_letters, card.studio_letters))
    return CardLook((name, spare), (studio, spare), card.wall, card.lead, card.ink, card.soft)


def _pane(pictures: Pictures) -> Pane:
    """Give the first photo in a size that is enough, or the drawn picture as pixels."""
    if not pictures.shots:
        return Pane(pictures.preview, (0.5, 0.5))
    shot = pictures.shots[0]
    sizes = shot.prints.renditions
    found = next((one for one in sizes if min(one.width, one.height) >= _ENOUGH), sizes[-1])
    return Pane(found.jpeg, shot.focus)
