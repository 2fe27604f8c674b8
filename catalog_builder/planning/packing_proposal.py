"""A packing list proposed for a market: from what lies ready, and how well it sold at the markets before. Private.

Of a variant that sold, one more is packed than ever sold at one market; of one that nobody has seen yet, up to two; of
one that was brought and did not sell, one. More than lies ready is never packed. Common practice, no source.
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from catalog_builder.records.selling.market_book import MarketBook
from catalog_builder.records.variant import Variant

UNSEEN = 2
UNSOLD = 1
COLUMNS = ("product", "size", "finish", "glass", "count", "box")


@dataclass(frozen=True, slots=True)
class PackingProposal:
    """How many of each variant to pack, by name; and what sold at markets of which none lies ready."""

    counts: Mapping[Variant, int]
    sold_out: tuple[Variant, ...]

    @property
    def pieces(self) -> int:
        """How many pieces that is."""
        return sum(self.counts.values())

    def text(self) -> str:
        """Give the list as it is written into a market's file."""
        text = io.StringIO(newline="")
        writer = csv.writer(text, lineterminator="\n")
        writer.writerow(COLUMNS)
        for variant, count in self.counts.items():
            writer.writerow([variant.product, variant.size, variant.finish, variant.choice, count, ""])
        return text.getvalue()


def propose_packing(ready: Mapping[Variant, int], book: MarketBook) -> PackingProposal:
    """Propose what to pack of what lies ready."""
    brought = {line.variant for lines in book.lists.values() for line in lines}
    at_markets: Counter[tuple[str, Variant]] = Counter()
    for sale in book.sold_at_markets:
        at_markets[sale.market, sale.variant] += sale.count
    most: dict[Variant, int] = {}
    for (_, variant), count in at_markets.items():
        most[variant] = max(most.get(variant, 0), count)

    def wanted(variant: Variant) -> int:
        if variant in most:
            return most[variant] + 1
        return UNSOLD if variant in brought else UNSEEN

    counts = {variant: min(ready[variant], wanted(variant)) for variant in sorted(ready, key=_names) if ready[variant]}
    return PackingProposal(counts, tuple(variant for variant in sorted(most, key=_names) if ready.get(variant) == 0))


def _names(variant: Variant) -> tuple[str, str, str, str]:
    return variant.product, variant.size, variant.finish, variant.choice
