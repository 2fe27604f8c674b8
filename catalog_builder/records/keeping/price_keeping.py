"""Adding rows to ``material_prices.csv``: the rows that are there stay byte for byte, all new ones come or none."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

from catalog_builder.cache.atomic_file import replace_file
from catalog_builder.mistake import Mistakes, Place
from catalog_builder.records.keeping.safe_writing import changed_since, writing
from catalog_builder.records.materials import MaterialPrice, PriceRow
from catalog_builder.records.reading.source import Source, read
from catalog_builder.records.reading.table import Table, read_table

NAME = "material_prices.csv"
PLACE = Place(path=f"content/{NAME}")


def read_material_prices(project: Path) -> Source:
    """Read the text of the table, to be handed to ``add_prices`` later.

    Raises:
        MistakeError: it cannot be read.
    """
    return read(project, project / "content" / NAME)


def add_prices(project: Path, known: Source, prices: Sequence[MaterialPrice], there: Sequence[MaterialPrice]) -> None:
    """Add a row for each price; ``known`` is the table as it was read, ``there`` its prices.

    Raises:
        MistakeError: a material has a row of that day already, the table was changed since it was read, or it cannot
            be written; it stands as it was.
    """
    rows = {(price.material, price.day): price for price in there}
    mistakes = Mistakes()
    for price in prices:
        standing = rows.get((price.material, price.day))
        if standing is not None:
            line = int(standing.row.rpartition(":")[2])
            mistakes.add(
                known.place(line),
                wrong=f"{price.material} has a price from {price.day} already",
                expected="one price for a material and a day",
                mend=f"change that row to {price.price} yourself, or write from another day with --day",
                marked=price.day.isoformat(),
            )
    mistakes.raise_if_any()
    path = project / "content" / NAME
    if read_material_prices(project).text != known.text:
        raise changed_since(PLACE, "the table")
    with writing(PLACE, "the table"):
        old = path.read_bytes()
        line_end = re.search(rb"\r\n|\r|\n", old)
        replace_file(path, old + _addition(known, prices, line_end[0].decode() if line_end else "\n").encode())


def _addition(known: Source, prices: Sequence[MaterialPrice], line_end: str) -> str:
    """Give the rows as the table writes its own: its separator, columns and decimal sign."""
    table = read_table(known, set(PriceRow.model_fields), {"material", "date", "price"})
    text = io.StringIO(newline="")
    if not known.text.endswith("\n"):
        text.write(line_end)
    writer = csv.writer(text, delimiter=table.separator, lineterminator=line_end)
    for price in prices:
        cells = {"material": price.material, "date": price.day.isoformat(), "price": _cell(price.price, table)}
        writer.writerow([cells.get(column, "") for column in table.columns])
    return text.getvalue()


def _cell(price: Decimal, table: Table) -> str:
    written = f"{price:f}"
    commas = any(re.fullmatch(r"\d+,\d+", row.cells.get("price", "")) for row in table.rows)
    return written.replace(".", ",") if commas else written
