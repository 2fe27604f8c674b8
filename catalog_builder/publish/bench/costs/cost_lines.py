"""Every line of every variant's cost, as CSV and as a workbook. Private."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from catalog_builder.phrase import Value
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.output.workbook import Row, as_csv, as_workbook
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.units import rounded

if TYPE_CHECKING:
    import pandas as pd

# Finer than any unit price needs, so that a variant's amounts add up to its cost.
_DIGITS = 6
# So many variants are put into a frame at a time: all lines of a large studio would fill the memory.
_AT_ONCE = 250


def write_cost_lines(calculations: Sequence[VariantCalculation], writer: BenchWriter, folder: Folder) -> None:
    """Write ``cost_lines.csv`` and ``cost_lines.xlsx``."""
    headings, rows = writer.labels("workbook"), CostRows(calculations, writer.phrasing)
    key = writer.key("cost lines", calculations)
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
        for start in range(0, len(self.calculations), _AT_ONCE):
            table = cost_table(self.calculations[start : start + _AT_ONCE], words)
            table["group"] = table["group"].map(labels["groups"])
            table["unit"] = table["unit"].replace("each", labels["workbook"]["each"])
            yield from table.to_dict("records")  # type: ignore[misc]


def cost_table(calculations: Sequence[VariantCalculation], words: Callable[[Value], str]) -> pd.DataFrame:
    """Give the lines of some variants' costs as a frame; amounts are Decimal, ``words`` words phrases."""
    import pandas as pd

    variants = pd.DataFrame(
        ((each.offer.sku, each.product.keys.title, each.offer.size, each.offer.finish, each.offer.glass)
         for each in calculations),
        columns=["variant", "product", "size", "finish", "glass"],
        dtype=object,
    )  # fmt: skip
    lines = pd.DataFrame(
        ((each.offer.sku, line.group, words(line.name), rounded(line.quantity, _DIGITS), line.unit,
          rounded(line.unit_price, _DIGITS + 2), rounded(line.amount, _DIGITS), words(line.pack), line.source,
          words(line.basis))
         for each in calculations for line in each.cost.lines),
        columns=["variant", "group", "line", "quantity", "unit", "unit_price", "amount", "pack", "source", "basis"],
        dtype=object,
    )  # fmt: skip
    return variants.merge(lines, on="variant")
