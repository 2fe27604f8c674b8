"""Every line of every variant's cost, as CSV and as a workbook. Private."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from catalog_builder.cache.store import key_of
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.output.workbook import Row, as_csv, as_workbook
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.units import rounded

# Finer than any unit price needs, so that a variant's amounts add up to its cost.
_DIGITS = 6


def write_cost_lines(calculations: Sequence[VariantCalculation], writer: BenchWriter, folder: Folder) -> None:
    """Write ``cost_lines.csv`` and ``cost_lines.xlsx``."""
    headings, rows = writer.labels("workbook"), CostRows(calculations, writer.phrasing)
    costs = ((variant.product.keys.title, variant.offer, variant.cost) for variant in calculations)
    key = key_of("cost lines", writer.theme.key, writer.wording, writer.day, *(part for each in costs for part in each))
    folder.make("cost_lines.csv", key, lambda: as_csv(rows))
    folder.make(
        "cost_lines.xlsx",
        key,
        lambda: as_workbook(rows, headings["cost_lines"], writer.day, 2, headings.__getitem__),
    )


@dataclass(frozen=True, slots=True)
class CostRows:
    """A row for each line of each variant's cost, in the order of the cost cards, made as they are taken."""

    calculations: Sequence[VariantCalculation]
    phrasing: Phrasing

    def __iter__(self) -> Iterator[Row]:
        # The same words stand in many lines.
        words, labels = lru_cache(maxsize=10_000)(self.phrasing.show), self.phrasing.labels
        groups, each_one = labels["groups"], labels["workbook"]["each"]
        for each in self.calculations:
            offer = each.offer
            for line in each.cost.lines:
                yield {
                    "variant": offer.sku,
                    "product": each.product.keys.title,
                    "size": offer.size,
                    "finish": offer.finish,
                    "glass": offer.glass,
                    "group": groups[line.group],
                    "line": words(line.name),
                    "quantity": rounded(line.quantity, _DIGITS),
                    "unit": each_one if line.unit == "each" else line.unit,
                    "unit_price": rounded(line.unit_price, _DIGITS + 2),
                    "amount": rounded(line.amount, _DIGITS),
                    "pack": words(line.pack),
                    "source": line.source,
                    "basis": words(line.basis),
                }
