"""Rows as a CSV file and as a workbook, for a spreadsheet. Texts in them are made harmless here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from io import BytesIO

from catalog_builder.publish.harmless import harmless

Cell = str | Decimal | float | int
Row = Mapping[str, Cell]


def as_csv(rows: Sequence[Row]) -> bytes:
    """Give rows as CSV, with every digit of an amount."""
    import pandas as pd

    frame = pd.DataFrame([{harmless(name): _written(cell) for name, cell in row.items()} for row in rows])
    return frame.to_csv(index=False, lineterminator="\r\n").encode("utf-8-sig")


def as_workbook(rows: Sequence[Row], sheet_name: str, day: date, fixed_columns: int) -> bytes:
    """Give rows as a workbook of one sheet, dated ``day``; the first columns stay in sight."""
    import pandas as pd

    frame = pd.DataFrame([{harmless(name): _counted(cell) for name, cell in row.items()} for row in rows])
    data = BytesIO()
    # A text is a text: neither a formula nor a link, whatever it begins with.
    options = {"options": {"strings_to_formulas": False, "strings_to_urls": False}}
    with pd.ExcelWriter(data, engine="xlsxwriter", engine_kwargs=options) as writer:
        writer.book.set_properties({"created": pd.Timestamp(day).to_pydatetime()})
        frame.to_excel(writer, sheet_name=sheet_name, index=False, freeze_panes=(1, fixed_columns))
        writer.sheets[sheet_name].autofit()
    return data.getvalue()


def _written(cell: Cell) -> str | float | int:
    if isinstance(cell, Decimal):
        return f"{cell:f}"
    return harmless(cell) if isinstance(cell, str) else cell


def _counted(cell: Cell) -> str | float | int:
    if isinstance(cell, Decimal):
        return float(cell)
    return harmless(cell) if isinstance(cell, str) else cell
