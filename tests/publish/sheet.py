"""The stall's price sheet read back, from its page and from its PDF, into one and the same form."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from unicodedata import normalize

import pypdfium2

from catalog_builder.pricing.calculation import VariantCalculation
from tests.publish.page import read_page, text_of

_PRICE = re.compile(r"^(.*?)[\s.]*(£[\d,]+(?:\.\d\d)?)$")
# Width by height, by depth where there is one; the sheet's head says so.
_SIZE = re.compile(r"^(?:[A-Z][\w ]*: )?[\d,]+ × [\d,]+(?: × [\d,]+)? mm")
# What stands below a reduced price.
_REDUCED = re.compile(r"Lowest price of the 30 days before: £[\d,]+(?:\.\d\d)?\.$")
# The finishes of the demo.
_FINISHES = {"Black patina", "Copper patina", "Bright solder"}
_FOOT = re.compile(r"Page \d+ / \d+$")


@dataclass(frozen=True, slots=True)
class Line:
    """A price on the sheet: under which title and size, and the words beside it."""

    title: str
    size: str
    words: str
    price: str


def page_lines(path: Path) -> list[Line]:
    """Read the sheet's page."""
    lines = []
    for article in read_page(path).select("article"):
        (title,) = article.select("h3")
        for body in article.select("tbody"):
            size = " ".join(text_of(head) for head in body.select("tr.size"))
            for row in body.select("tr:not(.size, .reduction)"):
                head, price = row.select("th, td")
                lines.append(_line(text_of(title), size, text_of(head), text_of(price)))
    return lines


def pdf_text(path: Path) -> str:
    """Read the text of a PDF, with its ligatures taken apart."""
    with pypdfium2.PdfDocument(path) as document:
        texts = [page.get_textpage().get_text_bounded() for page in document]
    return normalize("NFKC", "\n".join(texts))


def pdf_lines(path: Path, titles: Iterable[str], headings: Iterable[str]) -> list[Line]:
    """Read the sheet's PDF; ``titles`` and ``headings`` are those that it may hold."""
    known, above = set(titles), set(headings)
    lines: list[Line] = []
    title = size = held = ""
    for row in pdf_text(path).splitlines():
        held = f"{held} {' '.join(row.split())}".strip()
        if held in above or _FOOT.search(held) or _REDUCED.search(held):
            held = ""
        elif held in known or row.strip() in known:
            title, size, held = (held if held in known else row.strip()), "", ""
        elif price := _PRICE.match(held):
            lines.append(_line(title, size, price[1], price[2]))
            held = ""
        elif (match := _SIZE.match(held)) and match.end() == len(held):
            size, held = held, ""
    return lines


def _line(title: str, size: str, words: str, price: str) -> Line:
    """Part the size from the words where both stand on one line."""
    match = _SIZE.match(words)
    if match:
        return Line(title, match[0], words[match.end() :].lstrip("; "), price)
    return Line(title, size, words, price)


def found(lines: Iterable[Line], one: VariantCalculation) -> list[str]:
    """Give the prices that a buyer would read for a variant: more than one would be a riddle."""
    offer = one.offer
    size = f"{' × '.join(f'{side:.0f}' for side in offer.sides_mm)} mm"
    wanted = f"{offer.size}: {size}" if offer.size else size
    finish = offer.finish if len(one.product.keys.finishes) > 1 else ""
    return [
        line.price
        for line in lines
        if line.title == one.product.keys.title and line.size == wanted and _fits(line.words, finish, offer.glass)
    ]


def _fits(words: str, finish: str, glass: str) -> bool:
    """Say whether a line's words are a finish or nothing, then nothing, or one or more choices of glass."""
    # What does not change the price is not named.
    if any(words.startswith(other) for other in _FINISHES - {finish}):
        return False
    rest = words.removeprefix(finish).lstrip(",; ")
    return not rest or bool(glass and re.search(rf"(^|[,;] ){re.escape(glass)}([,;] |$)", rest))
