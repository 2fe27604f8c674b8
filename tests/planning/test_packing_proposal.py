"""A packing list proposed from what lies ready and what sold, worked out by hand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from catalog_builder.planning.packing_proposal import propose_packing
from catalog_builder.records.selling.market_book import Brought, MarketBook, Sale
from catalog_builder.records.variant import Variant

MOON, SUN, LEAF, BOAT = (Variant(name, "", "bright", "plain") for name in ("moon", "sun", "leaf", "boat"))
DAY = date(2031, 5, 3)


def sale(market: str, variant: Variant, count: int) -> Sale:
    """So many sold at a market, or elsewhere where it is empty."""
    return Sale(market, variant, count, Decimal(40), DAY, DAY)


def test_one_more_than_ever_sold_at_a_market() -> None:
    """Moons sold 2 and 3: 4 of 9 are packed. Suns sold 1 + 1 at one market: 3 of 9. Mail orders say nothing of it."""
    sales = (
        sale("a", MOON, 2), sale("b", MOON, 3), sale("a", SUN, 1), sale("a", SUN, 1), sale("", SUN, 8),
    )  # fmt: skip
    assert propose_packing({MOON: 9, SUN: 9}, MarketBook({}, sales)).counts == {MOON: 4, SUN: 3}


def test_what_nobody_has_seen_and_what_did_not_sell() -> None:
    """Up to two of what was never brought, one of what was brought and did not sell."""
    book = MarketBook({"a": (Brought(LEAF, 3, ""),)}, ())
    assert propose_packing({LEAF: 5, BOAT: 5, SUN: 1}, book).counts == {LEAF: 1, BOAT: 2, SUN: 1}


@pytest.mark.parametrize("ready", [0, 1, 2, 7])
def test_never_more_than_lies_ready(ready: int) -> None:
    """No list asks for a piece that is not there, and a variant of none is not on it."""
    book = MarketBook({}, (sale("a", MOON, 5),))
    proposal = propose_packing({MOON: ready}, book)
    assert proposal.counts == ({MOON: min(ready, 6)} if ready else {})
    assert proposal.sold_out == (() if ready else (MOON,))


def test_the_list_is_a_table_as_markets_read_it() -> None:
    """Its columns are those of a packing list; the box is the maker's to fill in."""
    text = propose_packing({SUN: 1, BOAT: 3}, MarketBook({}, ())).text()
    assert text == "product,size,finish,glass,count,box\nboat,,bright,plain,2,\nsun,,bright,plain,1,\n"
