"""How many of each variant are planned, were made and sold: what a usual price is weighed by."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from catalog_builder.records.content import Content
from catalog_builder.records.variant import Variant


def piece_counts(content: Content) -> Mapping[Variant, int]:
    """Add up the pieces of plans, of timed or weighed batches, and of sales; a piece counts each time it is named."""
    counts: Counter[Variant] = Counter()
    for plan in content.plans:
        for ordered in plan.ordered:
            counts[Variant(*ordered.chosen)] += ordered.count
    for lots in content.log.batches.values():
        for lot in lots:
            counts[lot.variant] += lot.count
    for sale in content.market_book.sales:
        counts[sale.variant] += sale.count
    return counts
