"""New work as an Atom feed (RFC 4287), for those who follow a studio by a reader."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from html import escape

from lxml import etree

from catalog_builder.offer import Listing
from catalog_builder.publish.views import StudioView

NAME = "feed.xml"
MOST = 20
ATOM = "http://www.w3.org/2005/Atom"
_LANGUAGE = "{http://www.w3.org/XML/1998/namespace}lang"


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedEntry:
    """A product as the feed has it: its listing, its page's address, and its picture's address and size in px.

    ``shown`` is the address of the variant that is offered first, which the picture shows.
    """

    listing: Listing
    series: str
    address: str
    shown: str
    picture: str
    size: tuple[int, int]


def atom_feed(studio: StudioView, address: str, language: str, entries: Sequence[FeedEntry]) -> bytes:
    """Write the feed of a catalogue that stands at ``address``; ``entries`` come the newest first.

    What identifies an entry for good is its page's address (RFC 4287, 4.2.6). Days are those of the records, so
    that the same content gives the same bytes.
    """
    feed = etree.Element(f"{{{ATOM}}}feed", {_LANGUAGE: language}, nsmap={None: ATOM})  # type: ignore[dict-item]
    _add(feed, "id", address)
    _add(feed, "title", studio.name)
    _add(feed, "subtitle", studio.tagline)
    _add(feed, "updated", _moment(max(entry.listing.added for entry in entries)))
    _add(feed, "link", rel="self", type="application/atom+xml", href=f"{address}{NAME}")
    _add(feed, "link", rel="alternate", type="text/html", href=address)
    author = _add(feed, "author")
    _add(author, "name", studio.maker)
    _add(author, "uri", address)
    if studio.email:
        _add(author, "email", studio.email)
    for entry in entries[:MOST]:
        _entry(feed, entry)
    etree.indent(feed)
    return bytes(etree.tostring(feed, xml_declaration=True, encoding="UTF-8")) + b"\n"


def _entry(feed: etree._Element, entry: FeedEntry) -> None:
    listing, (width, height) = entry.listing, entry.size
    element = _add(feed, "entry")
    _add(element, "id", entry.address)
    _add(element, "title", listing.title)
    _add(element, "published", _moment(listing.added))
    _add(element, "updated", _moment(listing.added))
    _add(element, "link", rel="alternate", type="text/html", href=entry.shown)
    _add(element, "category", term=listing.series, label=entry.series)
    _add(element, "summary", listing.summary, type="text")
    html = (
        f'<p><a href="{escape(entry.shown)}"><img src="{escape(entry.picture)}" width="{width}" height="{height}" '
        f'alt="{escape(listing.title)}"></a></p><p>{escape(listing.summary)}</p>'
    )
    _add(element, "content", html, type="html")


def _add(parent: etree._Element, name: str, text: str = "", /, **attributes: str) -> etree._Element:
    tag = etree.SubElement(parent, f"{{{ATOM}}}{name}", attributes)
    tag.text = text or None
    return tag


def _moment(day: date) -> str:
    """Write a day as a time of RFC 3339: its beginning, in UTC."""
    return f"{day.isoformat()}T00:00:00Z"
