"""The values of a theme's catalogue templates: finished text, not numbers.

These classes are the contract between the program and a theme. A template places values; it does no
arithmetic and takes no decision about money. Every ``*_href`` and ``src`` is relative to the page
that receives it, so that the catalogue opens from a folder as well as from a host.
"""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote

from markupsafe import Markup

from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.selling.market_date import Market
from catalog_builder.records.studio_tables.studio_keys import StudioKeys

_NOTHING = Markup()


@dataclass(frozen=True, slots=True, kw_only=True)
class ImageSource:
    """One ``<source>`` of a picture: a media type and its ``srcset``."""

    mime: str
    srcset: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureView:
    """A photo in several sizes, or a picture drawn from the pattern.

    ``sources`` is empty for a drawn picture, whose ``src`` is an SVG file. ``width`` and ``height``
    are the intrinsic size of ``src`` in pixels; ``colour`` is a CSS colour to show while loading.
    ``focus`` is a CSS ``object-position``, such as ``50% 40%``. ``stands`` says that a drawn piece needs no thread.
    ``shows`` is the ``sku`` of each variant that a photo shows, and ``largest`` leads to it at its largest; both are
    empty for a drawn picture.
    """

    src: str
    alt: str
    width: int
    height: int
    sources: tuple[ImageSource, ...]
    colour: str
    focus: str
    drawn: bool
    stands: bool
    shows: tuple[str, ...] = ()
    largest: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkView:
    """A link in the navigation. ``current`` is true on the page that it leads to."""

    text: str
    href: str
    current: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CardView:
    """A product as a list shows it. ``price_from`` is empty where it is sold."""

    title: str
    href: str
    summary: str
    picture: PictureView
    price_from: str
    sizes_text: str
    availability: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SeriesView:
    """A series with its products; ``href`` leads to its own page.

    Where there are many products, ``cards`` are those of the page that is shown, or the newest, and not ``whole``.
    """

    slug: str
    title: str
    summary: str
    href: str
    count_text: str
    cards: tuple[CardView, ...]
    whole: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoiceView:
    """One variant: what the buyer can choose, and what it is then.

    ``anchor`` is the ``id`` of its place on the page, and ``address`` its full public address. ``enquiry_href`` asks
    for it; empty where it is sold. ``swatch`` and ``metal`` are CSS paints of its glass and its finish;
    ``look`` is the CSS that shows it in the product's drawing, empty for a set.
    ``size``, ``finish`` and ``glass`` are empty where the product offers only one.
    ``glass_size`` is the glass alone; where there is a frame it is empty, and ``framed_size`` is that of its outside.
    ``hung_size`` includes the hanging hardware and is empty where that adds nothing, ``standing_size`` includes the
    feet or what is seen of a rod; it too is empty where that adds nothing.
    ``packed`` is size and weight of the parcel and ``postage`` what sends it; both may be empty. ``availability`` says
    whether it can be had; where it is ``sold``, ``price`` is empty. ``earlier`` is the lowest price of the 30 days
    before a reduction, and ``reduction`` says all of it in words; both are empty where the price is not reduced.
    """

    sku: str
    anchor: str
    address: str
    enquiry_href: str
    look: str
    swatch: str
    metal: str
    size: str
    finish: str
    glass: str
    price: str
    glass_size: str
    framed_size: str
    hung_size: str
    standing_size: str
    weight: str
    packed: str
    postage: str
    availability: str
    sold: bool
    earlier: str
    reduction: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FactView:
    """A row of a table of facts."""

    name: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPartView:
    """A piece of a set: its words, with how many of it there are, its size, and what one costs singly.

    ``price`` is empty where it is not sold singly any more.
    """

    text: str
    href: str
    size: str
    price: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ProductView:
    """All that a product page shows. ``drawing``, ``pattern`` and ``hanging_drawing`` are inline SVG.

    ``drawing`` shows a choice by its ``look``, true to scale beside a hand or a coin, as ``drawing_scale`` says;
    ``drawing_text`` is for those who cannot see it. A set has none.

    ``stands`` says that it stands, or is held from below, so that ``hanging`` and its drawing say how that is.

    ``parts`` are the pieces of a set, and ``singly`` says what they cost one by one; a product has neither. A set has
    no ``pattern`` and no ``hanging_drawing``.

    ``first`` is the choice that is offered first: what the page shows and asks for until a buyer chooses another.
    ``enquiry_note`` says what happens when one asks.

    Where all of it is ``sold``, ``price_range`` is empty, and there is nothing to choose or to ask for.
    """

    title: str
    summary: str
    description: Markup
    series: LinkView
    pictures: tuple[PictureView, ...]
    drawing: Markup
    drawing_text: str
    drawing_scale: str
    pattern: Markup
    hanging_drawing: Markup
    choices: tuple[ChoiceView, ...]
    choice_columns: tuple[str, ...]
    price_range: str
    availability: str
    sold: bool
    facts: tuple[FactView, ...]
    hanging: tuple[str, ...]
    stands: bool
    cautions: tuple[str, ...]
    neighbours: tuple[CardView, ...]
    first: ChoiceView
    enquiry_note: str
    parts: tuple[SetPartView, ...]
    singly: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MarketView:
    """A market day. ``date_iso`` is for ``<time datetime>``."""

    name: str
    place: str
    date: str
    date_iso: str
    hours: str
    note: str

    @classmethod
    def of(cls, market: Market, wording: Wording) -> MarketView:
        """Word a market day; its last day too, where it lasts longer than one."""
        dates = wording.day(market.date)
        if market.until is not None and market.until != market.date:
            dates = f"{dates} – {wording.day(market.until)}"
        return cls(
            name=market.name,
            place=market.place,
            date=dates,
            date_iso=market.date.isoformat(),
            hours=market.hours,
            note=market.note or "",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class StudioView:
    """The studio as the public sees it."""

    name: str
    maker: str
    tagline: str
    place: str
    email: str
    email_href: str

    @classmethod
    def of(cls, keys: StudioKeys) -> StudioView:
        """Take from a studio's record what the public may see."""
        href = f"mailto:{quote(keys.email, '@')}"
        return cls(
            name=keys.name, maker=keys.maker, tagline=keys.tagline, place=keys.place, email=keys.email, email_href=href
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PageView:
    """The page being made.

    ``kind`` is one of ``home series product find about care own_page dates not_found moved``; ``root`` is the way
    back to the catalogue's front folder (``""`` or ``"../"``); ``address`` is the page's full public
    address; ``preview_image`` the full address of the card that is shown where the page is passed on,
    ``preview_alt`` its words, ``preview_width`` and ``preview_height`` its size in px. ``structured_data``
    is JSON-LD for a script element, empty where there is none. ``tax`` is the sentence that says whether prices
    hold the tax.

    ``base`` is empty but on ``not_found``, which a host shows at any address: there it is the path under
    which the catalogue stands, for ``<base>``, and ``styles`` holds the style sheets that the theme names in
    ``theme.toml``, to stand in the page itself.

    ``to_send`` leads to the whole catalogue as one file and as a book to print, and is empty in the one file
    itself, whose kind is ``one_file``. ``wall_by_day`` and ``wall_by_night`` are what a phone paints around the page,
    empty where the theme does not say.

    ``terms`` leads to the studio's terms, to stand where a buyer asks; there may be none. ``own_pages`` are the links
    for the foot of every page: the terms, where there are any, and the studio's own pages.
    """

    kind: str
    title: str
    description: str
    root: str
    language: str
    address: str
    tax: str = ""
    navigation: tuple[LinkView, ...] = ()
    preview_image: str = ""
    preview_alt: str = ""
    preview_width: int = 0
    preview_height: int = 0
    structured_data: Markup = _NOTHING
    base: str = ""
    styles: Markup = _NOTHING
    to_send: tuple[LinkView, ...] = ()
    terms: LinkView | None = None
    own_pages: tuple[LinkView, ...] = ()
    wall_by_day: str = ""
    wall_by_night: str = ""
