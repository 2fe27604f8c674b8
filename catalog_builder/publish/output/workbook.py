"""Rows as a CSV file and as a workbook, for a spreadsheet. Texts in them are made harmless here.

Rows are streamed, so that a table may be larger than the memory.
"""

from __future__ import annotations

import re
from codecs import BOM_UTF8
from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime, time
from decimal import Decimal
from io import SEEK_END, BytesIO
from itertools import islice

from catalog_builder.publish.output.harmless import harmless

Cell = str | Decimal | float | int
Row = Mapping[str, Cell]

# So many rows are written at a time.
AT_ONCE = 10_000
# What a spreadsheet's program allows no sheet's name to hold, and how long a name may be (from memory).
_NO_SHEET_NAME, _SHEET_NAME_LENGTH = re.compile(r"[\[\]:*?/\\']"), 31
# A column is as wide as its longest cell, within these bounds, in characters.
NARROW, WIDE = 4, 60


def as_csv(rows: Iterable[Row]) -> bytes:
    """Give rows as CSV, with every digit of an amount."""
    import pandas as pd

    # Put into bytes bit by bit: a text that grows takes four bytes a letter.
    data, remaining, first = BytesIO(BOM_UTF8), iter(rows), True
    data.seek(0, SEEK_END)
    while some := list(islice(remaining, AT_ONCE)):
        frame = pd.DataFrame([{harmless(name): _written(cell) for name, cell in row.items()} for row in some])
        data.write(frame.to_csv(index=False, header=first, lineterminator="\r\n").encode())
        first = False
    return data.getvalue()


def as_workbook(
    rows: Iterable[Row], sheet_name: str, day: date, fixed_columns: int, heading: Callable[[str], str] = str
) -> bytes:
    """Give rows as a workbook of one sheet, dated ``day``; the first columns stay in sight.

    ``heading`` words the name of a column.
    """
    import xlsxwriter

    data = BytesIO()
    # A text is a text: neither a formula nor a link, whatever it begins with.
    options = {"constant_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(data, options) as book:
        book.set_properties({"created": datetime.combine(day, time())})
        sheet, head = (
            book.add_worksheet(_NO_SHEET_NAME.sub(" ", sheet_name)[:_SHEET_NAME_LENGTH]),
            book.add_format({"bold": True}),
        )
        sheet.freeze_panes(1, fixed_columns)
        widths: dict[str, int] = {}
        for number, row in enumerate(rows, 1):
            if not widths:
                sheet.write_row(0, 0, [harmless(heading(name)) for name in row], head)
            for name, cell in row.items():
                widths[name] = max(widths.get(name, 0), _width(cell))
            sheet.write_row(number, 0, [_counted(cell) for cell in row.values()])
        for column, (name, width) in enumerate(widths.items()):
            most = max(width, len(harmless(heading(name))))
            sheet.set_column(column, column, min(max(most + 1, NARROW), WIDE))
    return data.getvalue()


def _width(cell: Cell) -> int:
    return len(cell) if isinstance(cell, str) else len(f"{cell:.8g}")


def _written(cell: Cell) -> str | float | int:
    if isinstance(cell, Decimal):
        return f"{cell:f}"
    return harmless(cell) if isinstance(cell, str) else cell


def _counted(cell: Cell) -> str | float | int:
    if isinstance(cell, Decimal):
        return float(cell)
    return harmless(cell) if isinstance(cell, str) else cell
