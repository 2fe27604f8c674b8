"""The headings that people read over the columns of a workbook. The same tables as CSV keep the columns' names."""

from __future__ import annotations

from collections.abc import Mapping

from catalog_builder.phrase import phrase
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.records.selling.channel import Channel


def workbook_heading(column: str, channels: Mapping[str, Channel], phrasing: Phrasing) -> str:
    """Word a column such as ``unit_price``, or that of a channel such as ``stall_price``."""
    for name, channel in channels.items():
        kind = column.removeprefix(f"{name}_")
        if kind in ("price", "left", "an_hour", "floor") and kind != column:
            return phrasing.say(phrase(f"workbook.channel_{kind}", channel=channel.title))
    return phrasing.labels["workbook"][column]
