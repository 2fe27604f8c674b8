"""Limits on reading a drawing, copies included: elements, copies, characters, guesses at a misspelt word."""

from __future__ import annotations

from dataclasses import dataclass

from lxml import etree

MOST_USES = 2_000
MOST_VISITS = 100_000
# More than a file may hold: only copies of elements with long attributes exceed it.
MOST_CHARACTERS = 6_000_000
MOST_GUESSES = 2_000


@dataclass(slots=True)
class Budget:
    """What reading one drawing has taken so far."""

    uses: int = 0
    visits: int = 0
    characters: int = 0
    guesses: int = 0

    def visit(self, element: etree._Element) -> bool:
        """Count an element with its attributes, and say whether that was still within bounds."""
        self.visits += 1
        self.characters += sum(len(value) for value in element.attrib.values())
        return self.visits <= MOST_VISITS and self.characters <= MOST_CHARACTERS

    def use(self) -> bool:
        """Count a copy, and say whether that was still within bounds."""
        self.uses += 1
        return self.uses <= MOST_USES

    def guess(self) -> bool:
        """Count a guess at what a word was meant to be, and say whether to make it."""
        self.guesses += 1
        return self.guesses <= MOST_GUESSES
