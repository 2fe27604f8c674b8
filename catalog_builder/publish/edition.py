"""The catalogue to send: as one page and as a book, each with as much of its pictures as there is room for."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.mistake import Finding
from catalog_builder.publish.listing_view import Shown
from catalog_builder.publish.look_book import look_book
from catalog_builder.publish.one_file import SMALL, Likeness, one_file
from catalog_builder.publish.views import LinkView
from catalog_builder.records.source import Source
from catalog_builder.records.toml import key_line

FOLDER = "to-send"
# The photos that a record may name, and the drawn picture.
EVERY = 41
# Tried in this order until one fits.
LIKENESSES = (Likeness(1600, EVERY), Likeness(960, EVERY), Likeness(960, 1), SMALL, Likeness(480, 1, thumbs=False))


@dataclass(frozen=True, slots=True)
class Edition:
    """The catalogue of a day as one HTML page and as a PDF, and what the maker should know of their size."""

    one_file: bytes
    look_book: bytes
    findings: tuple[Finding, ...]


def make_edition(shown: Shown, most_mb: Decimal, studio: Source) -> Edition:
    """Make both, each under ``most_mb`` million bytes where smaller and fewer pictures can bring that about.

    ``studio`` is the file in which that bound stands.
    """
    address = f"{shown.studio.address}{sent_name(shown.studio.name, 'html')}"
    findings: list[Finding] = []

    def fitted(name: str, make: Callable[[Likeness], bytes]) -> bytes:
        data = b""
        for likeness in LIKENESSES:
            data = make(likeness)
            if len(data) <= most_mb * 1_000_000:
                break
        if likeness != LIKENESSES[0]:
            findings.append(_told(name, data, likeness, most_mb, studio))
        return data

    page = fitted("one-file catalogue", lambda likeness: one_file(shown, address, likeness).encode())
    book = fitted("look book", lambda likeness: look_book(shown, likeness))
    return Edition(page, book, tuple(findings))


def _told(name: str, data: bytes, likeness: Likeness, most_mb: Decimal, studio: Source) -> Finding:
    size, bound = f"{len(data) / 1e6:.1f} MB", f"{most_mb:f} MB"
    place = studio.place(key_line(studio.text, ("sending", "most_mb")))
    if len(data) > most_mb * 1_000_000:
        text = f"the {name} is {size} even with the smallest pictures, over the {bound} of sending.most_mb"
        return Finding(code="E02", place=place, text=text, advice="raise most_mb, or show fewer products")
    pictures = "one picture a product" if likeness.most == 1 else "every picture"
    text = f"the {name} shows {pictures}, photos up to {likeness.edge} px, to stay under {bound}: it is {size}"
    return Finding(code="E01", place=place, text=text, advice="raise sending.most_mb if it may be larger")


def sent_name(studio: str, ending: str) -> str:
    """Give the path of a file to send from the catalogue's front folder, by the studio's name in plain letters."""
    plain = unicodedata.normalize("NFKD", studio).encode("ascii", "ignore").decode().lower()
    name = "-".join(re.findall(r"[a-z0-9]+", plain))[:60].strip("-") or "catalogue"
    return f"{FOLDER}/{name}.{ending}"


def to_send(shown: Shown, root: str) -> tuple[LinkView, ...]:
    """Give the links to both; ``root`` leads back to the catalogue's front folder."""
    words = shown.theme.labels["edition"]
    return tuple(
        LinkView(words[key], root + sent_name(shown.studio.name, ending), current=False)
        for key, ending in (("one_file", "html"), ("look_book", "pdf"))
    )
