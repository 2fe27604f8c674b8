"""Printed sheets: a theme's typst template, filled and set as a PDF."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime, time

from catalog_builder.publish.pages import Theme

# What typst calls the papers that a studio prints on.
PAPERS = {"A4": "a4", "Letter": "us-letter"}


def typeset(theme: Theme, template: str, data: Mapping[str, object], day: date) -> bytes:
    """Set a template of a theme, such as ``stall/price_sheet.typ``, as a PDF dated ``day``.

    The fonts are the theme's own, and the same data and day give the same bytes.
    """
    import typst

    return bytes(
        typst.compile(
            str(theme.file(template)),
            font_paths=theme.font_folders(),
            ignore_system_fonts=True,
            sys_inputs={"data": theme.sheet_data(template, data)},
            timestamp=int(datetime.combine(day, time(12), UTC).timestamp()),
        )
    )
