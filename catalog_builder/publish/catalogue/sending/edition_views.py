"""What the templates of the catalogue to send are handed, beside the classes of ``views``."""

from __future__ import annotations

from dataclasses import dataclass

from catalog_builder.publish.views import LinkView, PictureView, ProductView


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryView:
    """A product in the one file. ``anchor`` is the ``id`` of its part, which links in the file lead to.

    ``product.cautions`` holds only what is not among the cautions that all products share. ``thumb`` is a small
    picture for the list of contents, or nothing where the file would grow too large by it. ``on_site`` leads to the
    product's own page on the web.
    """

    anchor: str
    product: ProductView
    price_from: str
    thumb: PictureView | None
    on_site: LinkView


@dataclass(frozen=True, slots=True, kw_only=True)
class ChapterView:
    """A series in the one file, with its products. ``anchor`` is the ``id`` of its part."""

    anchor: str
    title: str
    summary: str
    count_text: str
    entries: tuple[EntryView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class EditionView:
    """The edition that is sent: its day in the reader's own way, and a link to the catalogue on the web.

    ``newest`` says which pieces it holds where it does not hold all, and is empty where it does.
    """

    dated: str
    site: LinkView
    newest: str
