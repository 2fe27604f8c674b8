"""Every line of every variant's cost, as CSV and as a workbook. Private."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from catalog_builder.cache.store import key_of
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.output.workbook import Row, as_csv, as_workbook
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.units import rounded

# Finer than any unit price needs, so that a variant's amounts add up to its cost.
_DIGITS = 6


def write_cost_lines(calculations: Sequence[VariantCalculation], writer: BenchWriter, folder: Folder) -> None:
    """Write ``cost_lines.csv`` and ``cost_lines.xlsx``."""
    theme, headings = writer.theme, writer.labels("workbook")
    rows, costs = CostRows(calculations, theme), ((one.product.keys.title, one.offer, one.cost) for one in calculations)
    key = key_of("cost lines", theme.key, writer.wording, writer.day, *(part for pair in costs for part in pair))
    folder.make("cost_lines.csv", key, lambda: as_csv(rows))
    folder.make(
        "cost_lines.xlsx",
        key,
        lambda: as_workbook(rows, headings["cost_lines"], writer.day, 2, headings.__getitem__),
    )


@dataclass(frozen=True, slots=True)
class CostRows:
    """A row for each line of each variant's cost, in the order of the cost cards, made as they are asked for."""

    calculations: Sequence[VariantCalculation]
    theme: Theme

    def __iter__(self) -> Iterator[Row]:
        return (row for one in self.calculations for row in _rows(one, self.theme))


def _rows(one: VariantCalculation, theme: Theme) -> Iterator[Row]:
    for line in one.cost.lines:
        yield {
            "variant": one.offer.sku,
            "product": one.product.keys.title,
            "size": one.offer.size,
            "finish": one.offer.finish,
            "glass": one.offer.glass,
            "group": theme.labels["groups"][line.group],
            "line": line.name,
            "quantity": rounded(line.quantity, _DIGITS),
            "unit": theme.labels["workbook"]["each"] if line.unit == "each" else line.unit,
            "unit_price": rounded(line.unit_price, _DIGITS + 2),
            "amount": rounded(line.amount, _DIGITS),
            "pack": line.pack,
            "source": line.source,
            "basis": line.basis,
        }
