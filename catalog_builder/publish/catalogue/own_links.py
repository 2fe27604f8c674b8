"""Links to the pages of the studio's own: its terms, and what stands in ``content/pages/``."""

from __future__ import annotations

from catalog_builder.publish.catalogue.listing_view import CatalogueContent
from catalog_builder.publish.views import LinkView
from catalog_builder.records.own_page import OwnPage

TERMS = "terms.html"


def own_path(page: OwnPage) -> str:
    """Give the path of a page of the studio's own; no page of the program stands in that folder."""
    return f"pages/{page.name}.html"


def terms_link(content: CatalogueContent, path: str, root: str) -> LinkView | None:
    """Give the link to the studio's terms for the page at ``path``, or None where it has none.

    ``root`` leads back to the catalogue's front folder.
    """
    if "terms" not in content.texts:
        return None
    return LinkView(text=content.theme.words("own_pages", "terms"), href=root + TERMS, current=path == TERMS)


def own_links(content: CatalogueContent, path: str, root: str) -> tuple[LinkView, ...]:
    """Give the links for the foot of the page at ``path``: the terms first, then the studio's own pages."""
    terms = terms_link(content, path, root)
    pages = (
        LinkView(text=page.title, href=root + own_path(page), current=path == own_path(page))
        for page in content.own_pages
    )
    return (*([terms] if terms else []), *pages)
