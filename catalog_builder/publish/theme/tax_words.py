"""What a buyer reads about tax: a sentence under the prices, and beside a price what comes on top of it."""

from __future__ import annotations

from collections.abc import Sequence

from catalog_builder.offer import AskedPrice, Listing, Tax
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording

_SENTENCE = {"included": "tax_included", "added": "tax_added", "none": "no_tax"}


def tax_sentence(theme: Theme, tax: Tax) -> str:
    """Say whether prices hold the tax."""
    # Nothing is filled in here: a brace in a studio's own words is a brace.
    return str(theme.labels["stall"][_SENTENCE[tax]])


def catalogue_tax(theme: Theme, listings: Sequence[Listing]) -> str:
    """Say whether the catalogue's prices hold the tax; they are all of one channel."""
    return tax_sentence(theme, listings[0].offers[0].online.tax)


def price_words(theme: Theme, wording: Wording, price: AskedPrice) -> str:
    """Write a price, and beside it what is paid where the tax comes on top."""
    return " ".join(words for words in (wording.money(price.printed), tax_on_top(theme, wording, price)) if words)


def tax_on_top(theme: Theme, wording: Wording, price: AskedPrice) -> str:
    """Write what is paid with the tax where it comes on top; else nothing."""
    return theme.words("stall", "tax_on_top", paid=wording.money(price.paid)) if price.tax == "added" else ""
