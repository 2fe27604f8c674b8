"""Published pages read back as a browser reads them."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

from bs4 import BeautifulSoup, Tag


def read_page(source: Path | str | bytes) -> BeautifulSoup:
    """Parse a page by the HTML standard's own rules. The same text is parsed once: change nothing in what is given."""
    return _parsed(source.read_text(encoding="utf-8") if isinstance(source, Path) else source)


@lru_cache(maxsize=256)
def _parsed(text: str | bytes) -> BeautifulSoup:
    return BeautifulSoup(text, "html5lib")


def pages_in(folder: Path) -> list[Path]:
    """Give every page under a folder, but for the one file to send, which holds them all and has tests of its own."""
    return sorted(path for path in folder.rglob("*.html") if path.parent.name != "to-send")


def text_of(tag: Tag) -> str:
    """Give a tag's text with single spaces."""
    return " ".join(tag.get_text().split())


def said(tag: Tag, name: str) -> str:
    """Give an attribute's value, or nothing where it is not there."""
    return str(tag.get(name, ""))


def meta(page: BeautifulSoup, name: str) -> str:
    """Give what a page's ``<meta>`` of a name or property says."""
    found = page.select(f'meta[property="{name}"], meta[name="{name}"]')
    return said(found[0], "content") if len(found) == 1 else f"{len(found)} of {name}"


def linked_data(page: BeautifulSoup) -> Any:
    """Read all that a page holds for machines."""
    (script,) = page.select('script[type="application/ld+json"]')
    return json.loads(script.string or "")


def structured_data(page: BeautifulSoup, kind: str = "ProductGroup") -> Any:
    """Read the one thing of a kind that a page tells machines of."""
    (found,) = [thing for thing in linked_data(page)["@graph"] if thing["@type"] == kind]
    return found


def references(page: BeautifulSoup) -> Iterator[str]:
    """Give everything that a page leads to or loads; what is said of where its links begin is no link."""
    for tag in page.find_all(True):
        if tag.name == "base":
            continue
        for name in ("href", "src", "poster", "data", "action", "xlink:href"):
            if tag.has_attr(name):
                yield said(tag, name)
        for name in ("srcset", "imagesrcset"):
            if tag.has_attr(name):
                yield from (candidate.split()[0] for candidate in said(tag, name).split(","))


def target(page: Path, reference: str) -> Path:
    """Give the file that a relative reference leads to from a page that lies in a folder."""
    path = unquote(urlsplit(reference).path)
    return (page.parent / path).resolve() if path else page
