"""What the finder of a large studio loads as it is needed: choices, words and cards, each part a script of its own.

A page that is opened from a folder may load scripts, and no other data. Products are numbered from the oldest: a new
one leaves the parts of the others as they are.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterator, Sequence
from functools import partial

from catalog_builder.cache.store import key_of
from catalog_builder.publish.catalogue.finder import CARDS, FOLDER, Finder
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.views import CardView

# The bytes that a part of the words may have.
MOST_BYTES = 64_000
RANKS = 3


class FinderParts:
    """Gives the parts of a finder. What each product answers to is held, cards are made a part at a time."""

    def __init__(self, finder: Finder) -> None:
        self.finder, self.theme = finder, finder.theme
        self.listings = finder.listings[::-1]
        self.places: list[Sequence[str]] = []
        self.pieces: list[list[int]] = []
        variants: dict[str, int] = {}
        having: dict[str, list[list[int]]] = {}
        for at, listing in enumerate(self.listings):
            entry = finder.entry(listing)
            self.places.append(entry.places)
            self.pieces.append([variants.setdefault(_text(variant), len(variants)) for variant in entry.variants])
            for rank, words in enumerate(entry.words):
                for word in set(plain(words).split()):
                    having.setdefault(word, [[] for _ in range(RANKS)])[rank].append(at)
        self.variants = list(variants)
        self.having = dict(sorted(having.items()))

    def write(self, folder: Folder) -> str:
        """Write the parts, and give a name for what they hold, so that no browser mixes them with those of before."""
        keys = []
        for name, text in self._texts():
            folder.write(f"{FOLDER}{name}.js", text)
            keys.append(key_of(text))
        for number, cards in enumerate(self._cards()):
            key = key_of("cards", self.theme.key, cards)
            name = f"cards-{number}"
            folder.make(f"{FOLDER}{name}.js", key, partial(self._card_part, name, cards))
            keys.append(key)
        return key_of(keys)[:12]

    def _texts(self) -> Iterator[tuple[str, str]]:
        pieces = _text(self.pieces)
        yield "choices", _part("choices", f'{{"variants":[{",".join(self.variants)}],"pieces":{pieces}}}')
        firsts, parts = [0], list[list[str]]([[]])
        room = MOST_BYTES
        for at, ranks in enumerate(self.having.values()):
            text = _text([_steps(numbers) for numbers in ranks])
            if parts[-1] and len(text) > room:
                firsts.append(at)
                parts.append([])
                room = MOST_BYTES
            parts[-1].append(text)
            room -= len(text)
        yield "words", _part("words", _text({"words": list(self.having), "firsts": firsts}))
        for number, texts in enumerate(parts):
            name = f"words-{number}"
            yield name, _part(name, f"[{','.join(texts)}]")

    def _cards(self) -> Iterator[list[tuple[CardView, Sequence[str]]]]:
        for first in range(0, len(self.listings), CARDS):
            listings, places = self.listings[first : first + CARDS], self.places[first : first + CARDS]
            yield [(self.finder.views.card(listing, ""), own) for listing, own in zip(listings, places, strict=True)]

    def _card_part(self, name: str, cards: Sequence[tuple[CardView, Sequence[str]]]) -> str:
        made = [(self.theme.filled("card.html", "card", card, level=2).strip(), places) for card, places in cards]
        return _part(name, _text(made))


def plain(text: str) -> str:
    """Give words as they are compared: small and without accents, as the page's script reads what is typed."""
    letters = unicodedata.normalize("NFD", text)
    return "".join(letter for letter in letters if not unicodedata.category(letter).startswith("M")).lower()


def _steps(numbers: Sequence[int]) -> list[int]:
    return [number - before for before, number in zip([0, *numbers], numbers, strict=False)]


def _text(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def _part(name: str, data: str) -> str:
    return f"takePart({_text(name)},{data});\n"
