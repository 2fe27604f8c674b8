"""How many of each variant are planned, were made and sold: what a usual price is weighed by."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from catalog_builder.records.batch_plan import Plan
from catalog_builder.records.bench_log import Lot
from catalog_builder.records.selling.market_book import Sale
from catalog_builder.records.variant import Variant


def piece_counts(
    plans: Sequence[Plan], batches: Iterable[Sequence[Lot]], sales: Sequence[Sale]
) -> Mapping[Variant, int]:
    """Add up the pieces of plans, of timed or weighed batches, and of sales; a piece counts each time it is named."""
    counts: Counter[Variant] = Counter()
    for plan in plans:
        for ordered in plan.ordered:
            counts[Variant(*ordered.chosen)] += ordered.count
    for lots in batches:
        for lot in lots:
            counts[lot.variant] += lot.count
    for sale in sales:
        counts[sale.variant] += sale.count
    return counts
