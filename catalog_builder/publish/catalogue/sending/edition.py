"""The catalogue to send: as one page and as a book, each with as much of its pictures as there is room for."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from decimal import Decimal
from math import inf

from catalog_builder.cache.store import Store
from catalog_builder.mistake import Finding
from catalog_builder.phrase import Number, Phrase, phrase
from catalog_builder.publish.catalogue.listing_view import CatalogueContent
from catalog_builder.publish.catalogue.sending.look_book import look_book
from catalog_builder.publish.catalogue.sending.one_file import SMALL, Likeness, TooLargeError, one_file
from catalog_builder.publish.catalogue.sending.sent import MOST_SENT, SentSelection, is_chosen
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.publish.views import LinkView
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.toml import key_line
from catalog_builder.units import exact

FOLDER = "to-send"
# The photos that a record may name, and the drawn picture.
EVERY = 41
# Tried in this order until one fits.
LIKENESSES = (Likeness(1600, EVERY), Likeness(960, EVERY), Likeness(960, 1), SMALL, Likeness(480, 1, thumbs=False))

# Makes a document in a likeness; raises TooLargeError once it is over so many bytes.
MakeDocument = Callable[[Likeness, float], bytes]


@dataclass(frozen=True, slots=True)
class Document:
    """A file to send: the key of what it is made from, its size in bytes, its likeness, and what makes its bytes."""

    key: str
    size: int
    likeness: Likeness
    make: Callable[[], bytes]


@dataclass(frozen=True, slots=True)
class Edition:
    """The catalogue of a day as one HTML page and as a PDF, and what the maker should know of them."""

    one_file: Document
    look_book: Document
    findings: tuple[Finding, ...]


def make_edition(content: CatalogueContent, most_mb: Decimal, studio: Source) -> Edition:
    """Make both, each under ``most_mb`` million bytes where smaller and fewer pictures can bring that about.

    ``studio`` is the file in which that bound stands. A document whose size the store knows is made when it is
    written.
    """
    address = f"{content.studio.address}{sent_name(content.studio.name, 'html')}"
    sent = SentSelection.of(content)
    room = int(most_mb * 1_000_000)

    def page(likeness: Likeness, most: float) -> bytes:
        return one_file(sent, address, likeness, most).encode()

    def book(likeness: Likeness, most: float) -> bytes:
        return look_book(sent, likeness, most)

    page_likenesses, book_likenesses = (_distinct_likenesses(sent, thumbs=thumbs) for thumbs in (True, False))
    page_document = _document(sent.key("one file", room), page, page_likenesses, room, content.store)
    book_document = _document(sent.key("look book", room), book, book_likenesses, room, content.store)
    findings = [
        _shrunk_finding(phrase(f"findings_publish.{name}"), document, most_mb, studio)
        for name, document in (("one_file", page_document), ("look_book", book_document))
        if document.likeness != LIKENESSES[0] or document.size > room
    ]
    return Edition(page_document, book_document, (*findings, *_newest_only_finding(sent, studio)))


def _distinct_likenesses(sent: SentSelection, *, thumbs: bool) -> list[Likeness]:
    """Leave out likenesses that would give the same bytes as the one before."""
    pictures = [sent.content.pictures[listing.slug] for listing in sent.content.listings]
    looks = [([likeness.chosen(each) for each in pictures], thumbs and likeness.thumbs) for likeness in LIKENESSES]
    return [
        likeness for likeness, look, before in zip(LIKENESSES, looks, [None, *looks], strict=False) if look != before
    ]


def _document(key: str, make: MakeDocument, likenesses: list[Likeness], room: int, store: Store) -> Document:
    """Give a document; the store keeps its size and likeness, so that it need not be made to know them."""
    data_made = list[bytes]()

    def fit() -> bytes:
        *first, last = likenesses
        for likeness in first:
            with suppress(TooLargeError):
                if len(data := make(likeness, room)) <= room:
                    break
        else:
            likeness, data = last, make(last, inf)
        data_made.append(data)
        return json.dumps([len(data), LIKENESSES.index(likeness)]).encode()

    size, place = json.loads(store.kept("edition", key, fit))
    return Document(
        key, size, LIKENESSES[place], lambda: data_made.pop() if data_made else make(LIKENESSES[place], inf)
    )


def _newest_only_finding(sent: SentSelection, studio: Source) -> list[Finding]:
    """Give a finding where not all products are sent."""
    if sent.count == sent.total:
        return []
    text = phrase("findings_publish.newest_only", count=sent.count, all=sent.total)
    advice = phrase("findings_publish.newest_only_advice")
    return [Finding(code="E03", place=studio.place(), text=text, advice=advice)]


def _shrunk_finding(name: Phrase, document: Document, most_mb: Decimal, studio: Source) -> Finding:
    sizes = {"size": Number(exact(document.size / 1e6, 1), 1), "bound": Number(most_mb, 3)}
    place = studio.place(key_line(studio.text, ("sending", "most_mb")))
    if document.size > most_mb * 1_000_000:
        text = phrase("findings_publish.too_large", document=name, **sizes)
        return Finding(code="E02", place=place, text=text, advice=phrase("findings_publish.too_large_advice"))
    pictures = phrase(f"findings_publish.{'one' if document.likeness.most == 1 else 'every'}_picture")
    text = phrase(
        "findings_publish.shrunk", document=name, pictures=pictures, edge=str(document.likeness.edge), **sizes
    )
    return Finding(code="E01", place=place, text=text, advice=phrase("findings_publish.shrunk_advice"))


def sent_name(studio: str, ending: str) -> str:
    """Give the path of a file to send from the catalogue's front folder, by the studio's name in plain letters."""
    plain = unicodedata.normalize("NFKD", studio).encode("ascii", "ignore").decode().lower()
    name = "-".join(re.findall(r"[a-z0-9]+", plain))[:60].strip("-") or "catalogue"
    return f"{FOLDER}/{name}.{ending}"


def to_send(content: CatalogueContent, root: str) -> tuple[LinkView, ...]:
    """Give the links to both; ``root`` leads back to the catalogue's front folder."""
    most = Wording.of(content.studio).number(Decimal(MOST_SENT), 0)
    keys = ("one_file_newest", "look_book_newest") if is_chosen(content) else ("one_file", "look_book")
    return tuple(
        LinkView(
            text=content.theme.words("edition", key, count=most),
            href=root + sent_name(content.studio.name, ending),
            current=False,
        )
        for key, ending in zip(keys, ("html", "pdf"), strict=True)
    )
