"""A text of the maker's for a printed sheet: clean HTML as blocks of runs, which a typst template sets."""

from __future__ import annotations

from html.parser import HTMLParser
from typing import TypedDict

from markupsafe import Markup

_BLOCKS = {
    "p": "text",
    "li": "item",
    "h1": "head",
    "h2": "head",
    "h3": "head",
    "h4": "head",
    "td": "text",
    "th": "text",
}


class TextRun(TypedDict):
    """Words that are set alike; ``href`` is empty where they lead nowhere."""

    text: str
    strong: bool
    em: bool
    href: str


class TextBlock(TypedDict):
    """A paragraph, an item of a list or a heading: ``kind`` is text, item or head."""

    kind: str
    runs: list[TextRun]


def printed(html: Markup) -> list[TextBlock]:
    """Take cleaned HTML apart; what is no paragraph, item or heading becomes a paragraph."""
    reader = _Reader()
    reader.feed(str(html))
    reader.close()
    return [block for block in reader.blocks if any(run["text"].strip() for run in block["runs"])]


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.blocks: list[TextBlock] = []
        self.strong = self.em = 0
        self.href = ""
        self.fresh = True

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _BLOCKS:
            self.blocks.append({"kind": _BLOCKS[tag], "runs": []})
            self.fresh = False
        self._mark(tag, 1)
        if tag == "a":
            self.href = dict(attrs).get("href") or ""
        if tag == "br":
            self.handle_data(" ")

    def handle_endtag(self, tag: str) -> None:
        self._mark(tag, -1)
        if tag == "a":
            self.href = ""
        self.fresh = self.fresh or tag in _BLOCKS

    def handle_data(self, data: str) -> None:
        if self.fresh:
            if not data.strip():
                return
            self.blocks.append({"kind": "text", "runs": []})
            self.fresh = False
        text = " ".join(data.split())
        text = f"{' ' if data[:1].isspace() else ''}{text}{' ' if text and data[-1:].isspace() else ''}"
        self.blocks[-1]["runs"].append({"text": text, "strong": self.strong > 0, "em": self.em > 0, "href": self.href})

    def _mark(self, tag: str, step: int) -> None:
        self.strong += step * (tag in ("strong", "b"))
        self.em += step * (tag in ("em", "i"))
