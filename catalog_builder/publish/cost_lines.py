"""Every line of every variant's cost, as CSV and as a workbook. Private."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from catalog_builder.publish.folder import Folder
from catalog_builder.publish.pages import Theme
from catalog_builder.publish.workbook import Row, as_csv, as_workbook
from catalog_builder.reckoning import Reckoning
from catalog_builder.records.content import Content
from catalog_builder.units import rounded

# Finer than any unit price needs, so that a variant's amounts add up to its cost.
_DIGITS = 6


def write_cost_lines(content: Content, reckonings: Sequence[Reckoning], theme: Theme, folder: Folder) -> None:
    """Write ``cost_lines.csv`` and ``cost_lines.xlsx``."""
    rows = list(cost_rows(reckonings, theme))
    folder.write("cost_lines.csv", as_csv(rows))
    folder.write("cost_lines.xlsx", as_workbook(rows, "Cost lines", content.day, 2))


def cost_rows(reckonings: Sequence[Reckoning], theme: Theme) -> Iterator[Row]:
    """Give a row for each line of each variant's cost, in the order of the cost cards."""
    for one in reckonings:
        for line in one.cost.lines:
            yield {
                "sku": one.offer.sku,
                "product": one.product.keys.title,
                "size": one.offer.size,
                "finish": one.offer.finish,
                "glass": one.offer.glass,
                "group": theme.labels["groups"][line.group],
                "line": line.name,
                "quantity": rounded(line.quantity, _DIGITS),
                "unit": line.unit or "each",
                "unit_price": rounded(line.unit_price, _DIGITS + 2),
                "amount": rounded(line.amount, _DIGITS),
                "pack": line.pack,
                "source": line.source,
                "basis": line.basis,
            }
