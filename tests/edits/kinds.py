"""Every kind of edit by its name, and the order in which a sequence makes them."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from random import Random

from tests.edits import date_edits, photo_edits, product_edits, table_edits, theme_edits
from tests.edits.studio import Edit

KINDS: dict[str, Edit] = {
    name: edit
    for module in (product_edits, photo_edits, table_edits, theme_edits, date_edits)
    for name, edit in inspect.getmembers(module, inspect.isfunction)
    if edit.__module__ == module.__name__ and not name.startswith("_")
}


def shuffled(chance: Random) -> Iterator[str]:
    """Give kinds without end: all of them in a random order, then all of them in another."""
    while True:
        kinds = sorted(KINDS)
        chance.shuffle(kinds)
        yield from kinds
