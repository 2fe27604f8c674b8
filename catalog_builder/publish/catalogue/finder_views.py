"""What the page shows on which a buyer finds a piece."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from catalog_builder.publish.views import CardView


@dataclass(frozen=True, slots=True, kw_only=True)
class OptionView:
    """Something that a buyer can look for. ``value`` is how addresses and the page's data call it.

    ``swatch`` is a CSS colour to show beside ``text``, for colours of glass; else empty.
    """

    value: str
    text: str
    swatch: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FacetView:
    """A way in which products differ.

    It is ``series``, ``colour``, ``size``, ``price``, ``finish`` or ``availability``.
    """

    name: str
    title: str
    options: tuple[OptionView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FinderView:
    """The page on which a buyer finds a piece: ways in which products differ, and products, the newest first.

    ``data`` is JSON to stand in a script element: a list with an object for each product, of ``href`` as its card
    has it, ``words`` to search in (the title, what is said of it, its glass: what stands first counts most),
    ``variants``: objects that hold, by the name of a facet, a list of the values that the variant has, and ``places``:
    for each of these the ``id`` of its place on the product's page. A product is found where one of its variants has a
    wanted value of every facet.

    Where there are too many products for a page, ``parted`` is true and ``cards`` are those of this page of the list.
    ``data`` then is what ``assets/find_parts.js`` must know to load the rest as needed, and only the first page
    ``searches``: the others have no form.
    """

    facets: tuple[FacetView, ...]
    cards: tuple[CardView, ...]
    data: Markup
    searches: bool
    parted: bool
